package job

import "strings"

// Nearest returns the one name the user most likely meant: within two letters inserted, dropped,
// changed or swapped, within one for words under five letters, never for words under three, and no other name as near. A
// difference in case or between "-" and "_" costs nothing. It returns "" when it would be a guess.
func Nearest(word string, names []string) string {
	most := 2
	switch n := len([]rune(cut(word, 100))); {
	case n < 3:
		return "" // cm is not mm
	case n < 5:
		most = 1
	}
	best, found, tie := most+1, "", false
	for _, n := range names {
		switch d := distance(plain(word), plain(n), most); {
		case d < best:
			best, found, tie = d, n, false
		case d == best && n != found:
			tie = true
		}
	}
	if tie || best > most {
		return ""
	}
	return found
}

func plain(s string) []rune {
	s = strings.ToLower(cut(s, 200))
	return []rune(strings.Map(func(r rune) rune {
		if r == '-' || r == ' ' {
			return '_'
		}
		return r
	}, s))
}

// distance counts the edits from a to b, neighbours swapped counting one, and gives up above most.
func distance(a, b []rune, most int) int {
	if max(len(a), len(b))-min(len(a), len(b)) > most {
		return most + 1
	}
	before := make([]int, len(b)+1)
	row := make([]int, len(b)+1)
	next := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range a {
		next[0] = i + 1
		for j := range b {
			c := 1
			if a[i] == b[j] {
				c = 0
			}
			next[j+1] = min(row[j]+c, row[j+1]+1, next[j]+1)
			if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
				next[j+1] = min(next[j+1], before[j-1]+1)
			}
		}
		before, row, next = row, next, before
	}
	return row[len(b)]
}
