#!/bin/sh
# From Enter to the verdict painted, in real Chromium, beside an empty page; see README.md here.
set -eu
cd "$(dirname "$0")/../.."
exec cargo test --release --locked -p midflank --test browser enter_ -- --ignored --nocapture --test-threads 1
