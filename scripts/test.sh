#!/usr/bin/env bash
# Passes all tests on a fresh Debian machine with a Rust toolchain. Nothing else has to be there before.
set -euo pipefail
cd "$(dirname "$0")/.."

# rustc links with a C compiler, and SQLite is compiled with it.
if ! command -v cc >/dev/null; then
  echo "installing a C compiler"
  apt-get update -qq && apt-get install -y -qq gcc libc6-dev
fi

# The ledger of a shop is tested on a server of the tests' own; Debian's package would start another.
if ! ls /usr/lib/postgresql/*/bin/initdb >/dev/null 2>&1; then
  echo "installing PostgreSQL"
  mkdir -p /etc/postgresql-common
  [ -e /etc/postgresql-common/createcluster.conf ] ||
    echo "create_main_cluster = false" >/etc/postgresql-common/createcluster.conf
  apt-get update -qq && apt-get install -y -qq --no-install-recommends postgresql
fi

# What others say of the PDF that we write: its structure, its fonts, its text.
if ! command -v qpdf >/dev/null || ! command -v pdftotext >/dev/null; then
  echo "installing tools that read PDF"
  apt-get update -qq && apt-get install -y -qq --no-install-recommends qpdf poppler-utils
fi

# Published schemas of what goes to other systems, where somebody keeps them: their tests say where they do not.
schemas=${MIDFLANK_SCHEMAS:-../shared/schemas}
if [ -d "$schemas" ]; then
  MIDFLANK_SCHEMAS=$(cd "$schemas" && pwd)
  export MIDFLANK_SCHEMAS
  if ! command -v xmllint >/dev/null; then
    echo "installing a validator of XML"
    apt-get update -qq && apt-get install -y -qq --no-install-recommends libxml2-utils
  fi
fi

# rust-toolchains without these two components still pass the tests themselves.
if cargo fmt --version >/dev/null 2>&1; then cargo fmt --all --check; fi
if cargo clippy --version >/dev/null 2>&1; then
  cargo clippy --workspace --all-targets --locked -- -D warnings
  cargo clippy --workspace --all-targets --locked --features shop,sheets -- -D warnings
fi

# The same features everywhere below, so that nothing is built twice.
features=shop,sheets
cargo test --workspace --locked --features $features
# Tests of records, reports and bench once more with every sentence disguised: nothing may depend on how one reads.
# `scripts/long.sh` runs more of them.
MIDFLANK_DISGUISE=1 cargo test --locked -p midflank --features $features --test it -- ledger:: forged:: inspect:: equipment:: web::job web::told
# `metrology` is a library for others too: its package has its tables, and the tests beside its code pass there. The
# dependencies are those built above.
for example in crates/metrology/examples/*.rs; do
  cargo run --quiet --locked -p metrology --example "$(basename "$example" .rs)" >/dev/null
done
cargo package -p metrology --locked --allow-dirty --quiet
(
  cd target/package/metrology-*/
  CARGO_PROFILE_DEV_DEBUG=line-tables-only PROPTEST_CASES=32 cargo test --locked --lib --target-dir ../..
)
# Lists and recalls of a hundredth of a million entries; `scripts/long.sh` has the whole.
ENTRIES=10000 cargo test --locked -p benches --features shop --bench known
scripts/exchange.sh
scripts/browser-tests.sh --features $features
# The README's first command, as a newcomer runs it: this builds the release program.
cargo test --locked -p midflank --features $features --test it readme -- --ignored
RUSTDOCFLAGS="-D warnings" cargo doc --workspace --no-deps --locked --quiet
echo "all tests passed"
