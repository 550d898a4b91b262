#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| midflank::fuzz_targets::equipment_list(data));
