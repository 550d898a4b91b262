# A lot of so many pieces with so many readings each, made up and the same every time, for benches that source this file:
# `lot_readings PIECES READINGS FOLDER` writes readings.csv, plan.toml and setup.toml from the demonstration into the folder.
lot_readings() {
  awk -v pieces="$1" -v readings="$2" 'BEGIN {
    srand(18); print "piece,characteristic,place,reading,unit"
    split("near the head;middle;near the end", place, ";")
    zero = ",zero,,10.001,mm\n,zero,,10.002,mm\n,zero,,10.001,mm"
    print zero
    for (p = 1; p <= pieces; p++) {
      size = 8.90 + 0.05 * rand()
      for (r = 0; r < readings; r++) printf "%d,1,%s,%.3f,mm\n", p, place[1 + r % 3], size + 0.002 * rand()
    }
    print zero
  }' > "$3/readings.csv"
  sed "s/^take = .*/take = \"all\"/; s/^lot_size = .*/lot_size = $1/; /^level/d; /^aql/d" demo/lot/plan.toml > "$3/plan.toml"
  sed 's/^person = .*/&\nmeasured_at = 2026-03-10/' demo/lot/setup.toml > "$3/setup.toml"
}
