#!/usr/bin/env bash
# Fuzzes what comes from outside, each target for some seconds: fuzz/run.sh [SECONDS [TARGET...]], twenty minutes if not
# said. Needs a nightly compiler, a C++ compiler and `cargo install cargo-fuzz`. Inputs of a kind not seen before are kept
# in fuzz/found; an input that fails is named, and kept in fuzz/artifacts: give it to
# `cargo +nightly fuzz run TARGET FILE` to see it again, and put it into fuzz/corpus when that is mended.
set -euo pipefail
cd "$(dirname "$0")/.."

seconds=${1:-1200}
shift || true
if [ $# = 0 ]; then
  set -- designation job_file readings dcc stored form serial_line study_table plan plan_table lot_readings certificate room_log equipment_list
fi
for target; do
  mkdir -p "fuzz/found/$target"
  corpus=("fuzz/found/$target" "fuzz/corpus/$target")
  if [ "$target" = job_file ]; then corpus+=(demo demo/features); fi
  if [ "$target" = certificate ]; then corpus+=(demo/gauge-room); fi
  cargo +nightly fuzz run "$target" "${corpus[@]}" -- -max_total_time="$seconds" -max_len=16384 -timeout=60 \
    -rss_limit_mb=1000 -print_final_stats=1
done
