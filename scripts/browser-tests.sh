#!/usr/bin/env bash
# The bench in a real browser. Installs what it needs: Debian's chromium and chromedriver (as root) where they are
# missing, and one file of the npm package axe-core, into the target folder (with Debian's npm where none is there).
# Pass SCREENSHOTS=FOLDER to keep a picture of every step.
set -euo pipefail
cd "$(dirname "$0")/.."

axe_version=4.14.1
axe_sha256=e6b0ce02b84d892e2e33e403485e7f3d6c29e2be6df65daf44d89ba564139745

if ! command -v chromedriver >/dev/null || ! command -v chromium >/dev/null; then
    apt-get update -qq
    apt-get install -y -qq chromium chromium-driver
fi
tools=${BROWSER_TOOLS:-target/browser-tools/axe-core-$axe_version}
if [ ! -f "$tools/package/axe.min.js" ]; then
    if ! command -v npm >/dev/null; then
        apt-get update -qq
        apt-get install -y -qq --no-install-recommends npm ca-certificates
    fi
    mkdir -p "$tools"
    npm pack --loglevel=error --pack-destination "$tools" "axe-core@$axe_version" >/dev/null
    echo "$axe_sha256  $tools/axe-core-$axe_version.tgz" | sha256sum --check --quiet
    tar -xzf "$tools/axe-core-$axe_version.tgz" -C "$tools" package/axe.min.js
fi
AXE_CORE=$(cd "$tools" && pwd)/package/axe.min.js
export AXE_CORE
exec cargo test --locked -p midflank --test browser "$@" -- --test-threads=2
