package inventory

import "strings"

// longestWord is the longest word that is compared: longer is no slip of the
// keyboard, and the comparison takes time by its length.
const longestWord = 64

// Nearest finds the known word that was probably meant, by the least number of
// letters to add, drop, change or swap; case, spaces and dashes do not matter.
// It says false where none is near: more than half of the letters differ.
func Nearest(word string, known []string) (string, bool) {
	word = plainWord(word)
	if word == "" || len(word) > longestWord {
		return "", false
	}
	best, least := "", longestWord
	for _, k := range known {
		plain := plainWord(k)
		d := distance([]rune(word), []rune(plain))
		if d < least && 2*d <= max(len(word), len(plain)) {
			best, least = k, d
		}
	}
	return best, best != ""
}

func plainWord(s string) string {
	return strings.NewReplacer(" ", "_", "-", "_").Replace(strings.ToLower(strings.TrimSpace(s)))
}

// distance is the edit distance with swaps of neighbours (optimal string
// alignment), row by row.
func distance(a, b []rune) int {
	before, last, now := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		now[0] = i
		for j := 1; j <= len(b); j++ {
			change := last[j-1]
			if a[i-1] != b[j-1] {
				change++
			}
			now[j] = min(change, last[j]+1, now[j-1]+1)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				now[j] = min(now[j], before[j-2]+1)
			}
		}
		before, last, now = last, now, before
	}
	return last[len(b)]
}
