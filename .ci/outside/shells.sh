#!/bin/bash
# Completion scripts parse in their shells and complete kinds, materials and flags; the schema is JSON
# Schema draft-07; starter jobs are the examples.
# Source: bash, zsh and fish (Debian packages); PowerShell is not packaged, its script is only looked at.
# usage: shells.sh PLATEN DIR
set -euo pipefail
platen=$1 dir=$2
mkdir -p "$dir"
for shell in bash zsh fish powershell; do
	"$platen" completion $shell >"$dir/$shell"
	grep -q platen "$dir/$shell"
done
bash -n "$dir/bash"
zsh -n "$dir/zsh"
fish --no-execute "$dir/fish"
grep -q Register-ArgumentCompleter "$dir/powershell"

# completes WANT ARGUMENT... fails unless WANT is among the words offered.
completes() {
	local want=$1
	shift
	local offered # whole, since grep -q would close a pipe under the writer
	offered=$("$platen" __complete "$@" 2>/dev/null)
	grep -q "^$want\b" <<<"$offered" || { echo "FAIL: '$*' does not offer $want"; exit 1; }
}
completes hinge_line features ''
completes HIPS materials ''
completes parts_tray new ''
completes --tolerance build --
completes drills.csv build --only ''

"$platen" schema | /usr/bin/python3 -c '
import json, sys
assert json.load(sys.stdin)["$schema"].startswith("http://json-schema.org/draft-07/schema")'

starters=$("$platen" new)
for name in $starters; do
	"$platen" new "$name" -o "$dir/$name.yaml" >/dev/null
	cmp "$dir/$name.yaml" "examples/$name.yaml"
done
echo "completion for 4 shells, schema, $(wc -w <<<"$starters") starters"
