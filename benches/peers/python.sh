# Sourced by the comparisons: a Python with the pinned peers, in target/peers; made on first use.
peers=target/peers
if ! cmp -s benches/peers/requirements.txt "$peers/requirements.txt"; then
    python3 -m venv --clear "$peers"
    "$peers/bin/pip" install --quiet --disable-pip-version-check -r benches/peers/requirements.txt
    cp benches/peers/requirements.txt "$peers/requirements.txt"
fi
python=$peers/bin/python
# The value of a name in lines `name value`.
value() { awk -v name="$2" '$1 == name { print $2 }' <<< "$1"; }
