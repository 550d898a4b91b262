#!/usr/bin/env bash
# The bench in a real browser. Installs what it needs: Debian's chromium and chromedriver (as root) where they are
# missing, and axe-core, one file from the npm registry, into the target folder.
# Pass SCREENSHOTS=FOLDER to keep a picture of every step.
set -euo pipefail
cd "$(dirname "$0")/.."

axe_version=4.14.1
axe_sha256=e6b0ce02b84d892e2e33e403485e7f3d6c29e2be6df65daf44d89ba564139745

if ! command -v chromedriver >/dev/null || ! command -v chromium >/dev/null || ! command -v curl >/dev/null; then
    apt-get update -qq
    apt-get install -y -qq chromium chromium-driver curl ca-certificates
fi
tools=${BROWSER_TOOLS:-target/browser-tools/axe-core-$axe_version}
if [ ! -f "$tools/package/axe.min.js" ]; then
    mkdir -p "$tools"
    curl -fsSL --retry 3 -o "$tools/axe-core.tgz" "https://registry.npmjs.org/axe-core/-/axe-core-$axe_version.tgz"
    echo "$axe_sha256  $tools/axe-core.tgz" | sha256sum --check --quiet
    tar -xzf "$tools/axe-core.tgz" -C "$tools" package/axe.min.js
fi
AXE_CORE=$(cd "$tools" && pwd)/package/axe.min.js
export AXE_CORE
exec cargo test --locked -p midflank --test browser "$@" -- --test-threads=2
