#!/usr/bin/env bash
# Builds the Debian package with all features, with man pages and completions made from the definitions of the commands:
# target/debian/midflank_*.deb. Then has it checked by lintian, and with `--try` installs it and runs it as a user without data.
set -euo pipefail
cd "$(dirname "$0")/.."
version=3.8.0
target=${CARGO_TARGET_DIR:-target}
tools=$target/tools
if [ "$("$tools/bin/cargo-deb" --version 2>/dev/null)" != "$version" ]; then
  cargo install --quiet --locked --root "$tools" cargo-deb --version "$version"
fi
for tool in lintian desktop-file-validate; do
  if ! command -v "$tool" >/dev/null; then
    apt-get update -qq && apt-get install -y -qq --no-install-recommends lintian desktop-file-utils
  fi
done

cargo build --release --locked -p midflank --all-features
program=$target/release/midflank
made=$target/packaging
rm -rf "$made"
mkdir -p "$made"
"$program" man "$made/man"
for shell in bash zsh fish; do "$program" completions "$shell" >"$made/midflank.$shell"; done
{
  echo "midflank ($("$program" --version | cut -d ' ' -f 2)-1) unstable; urgency=medium"
  echo
  echo "  * See /usr/share/doc/midflank/changelog.gz."
  echo
  echo " -- The midflank maintainers <maintainers@midflank.invalid>  $(date -R -d "@$(git log -1 --format=%ct)")"
} >"$made/changelog"
gzip -9n <CHANGELOG.md >"$made/changelog.gz"
desktop-file-validate packaging/midflank-bench.desktop
"$tools/bin/cargo-deb" deb --no-build --locked -p midflank --output "$target/debian/"
package=$(ls -t "$target"/debian/midflank_*.deb | head -1)
# A bug to close is what Debian's own archive asks of a first upload.
lintian --fail-on error,warning --suppress-tags initial-upload-closes-no-bugs "$package"

if [ "${1:-}" = --try ]; then
  apt-get install -y -qq --allow-downgrades "./$package"
  user=midflank-try
  id "$user" >/dev/null 2>&1 || useradd --create-home "$user"
  trap 'userdel --remove "$user" 2>/dev/null; apt-get remove -y -qq midflank' EXIT
  as_user() { su - "$user" -s /bin/bash -c "$1"; }
  as_user "midflank --version --long"
  as_user "midflank demo" | grep -q ACCEPT
  as_user "midflank ledger verify --ledger ~/.local/share/midflank/demo/ledger.db" || as_user "find . -name '*.db'"
  as_user "man -w midflank-inspect && test -s /usr/share/bash-completion/completions/midflank"
  echo "installed and ran as a user without data"
fi
