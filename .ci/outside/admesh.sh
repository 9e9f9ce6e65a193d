#!/bin/bash
# Every STL read by admesh: no disconnected edge, no degenerate facet, one part, nothing to repair.
# Source: admesh 0.98 (Debian package admesh).
# usage: admesh.sh STL...
set -euo pipefail
bad=0
for stl; do
	report=$(admesh "$stl")
	if awk -F: '
		/^(Total disconnected facets|Degenerate facets|Edges fixed|Facets removed|Facets added|Facets reversed|Backwards edges|Normals fixed)/ {
			split($2, n, " "); seen++; if (n[1] != 0) { print $0; wrong = 1 } }
		/^Number of parts/ { split($2, n, " "); seen++; if (n[1] != 1) { print $0; wrong = 1 } }
		END { exit wrong || seen != 9 }' <<<"$report"
	then echo "ok   $stl"
	else echo "FAIL $stl"; bad=1
	fi
done
exit $bad
