#!/bin/sh
# The bench in a real browser. Installs what it needs: Debian's chromium and chromedriver (as root) where they are
# missing, and axe-core from npm into a folder of its own. Pass SCREENSHOTS=FOLDER to keep a picture of every step.
set -eu
cd "$(dirname "$0")/.."
if ! command -v chromedriver >/dev/null || ! command -v chromium >/dev/null; then
    apt-get update -q
    apt-get install -y -q chromium chromium-driver
fi
tools=${BROWSER_TOOLS:-target/browser-tools}
if [ ! -f "$tools/node_modules/axe-core/axe.min.js" ]; then
    mkdir -p "$tools"
    npm install --silent --no-fund --no-audit --prefix "$tools" axe-core@4
fi
AXE_CORE=$(cd "$tools" && pwd)/node_modules/axe-core/axe.min.js
export AXE_CORE
exec cargo test -p midflank --test browser "$@" -- --test-threads=2
