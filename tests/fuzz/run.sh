#!/usr/bin/env bash
# Fuzzes one target for some seconds with the stable compiler: coverage, but no sanitizer (the code is free of
# unsafe blocks). Seeds come from the demo and the test data. Usage: tests/fuzz/run.sh TARGET SECONDS, or
# tests/fuzz/run.sh all to build them
set -euo pipefail
cd "$(dirname "$0")"
target=$1
seconds=${2:-}

export RUSTFLAGS="-Cpasses=sancov-module -Cllvm-args=-sanitizer-coverage-level=4 \
-Cllvm-args=-sanitizer-coverage-inline-8bit-counters -Cllvm-args=-sanitizer-coverage-pc-table \
-Cllvm-args=-sanitizer-coverage-trace-compares --cfg fuzzing"
host=$(rustc -vV | sed -n 's/^host: //p')
if [ "$target" = all ]; then
  exec cargo build --release --target "$host" --bins
fi
cargo build --release --target "$host" --bin "$target"

corpus=target/corpus/$target
mkdir -p "$corpus"
seed() { for file in "$@"; do cp "$file" "$corpus/seed-$(basename "$(dirname "$file")")-$(basename "$file")"; done; }
case $target in
  photo) seed ../data/photos/*.{jpg,png,webp,heic} ;;
  stored)
    # The first letter says which kind: its number modulo 6.
    kinds="f:ovens g:tests h:bakes i:readings j:thermometers k:doughs"
    for kind in $kinds; do
      for file in ../../demo-data/"${kind#*:}"/*.json ../data/v1/"${kind#*:}"/*.json; do
        [ -f "$file" ] || continue # not every kind has both
        (printf %s "${kind%%:*}"; cat "$file") > "$corpus/seed-${kind#*:}-$(basename "$file")"
      done
    done ;;
  bundle) seed ../data/fuzz/bundle/* ;;
  *) seed ../data/fuzz/"$target"/* ;;
esac
exec "target/$host/release/$target" -max_total_time="$seconds" -timeout=20 -rss_limit_mb=1024 \
  -max_len="${MAX_LEN:-65536}" -artifact_prefix="target/$target-" -print_final_stats=1 "$corpus"
