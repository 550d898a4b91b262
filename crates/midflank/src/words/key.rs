// The place of a key in the table of sentences; shared with the build script, which fills the table.

/// Eight letters at a time are mixed into a number of which every bit counts.
pub fn number(key: &str) -> usize {
    let mut number = 0_u64;
    for letters in key.as_bytes().chunks(8) {
        let mut word = [0; 8];
        for (place, letter) in word.iter_mut().zip(letters) {
            *place = *letter;
        }
        let mixed = number.rotate_left(5) ^ u64::from_le_bytes(word);
        number = mixed.wrapping_mul(0x9e37_79b9_7f4a_7c15);
    }
    // 32 bits fit every machine's word.
    usize::try_from(number >> 32).unwrap_or_default()
}
