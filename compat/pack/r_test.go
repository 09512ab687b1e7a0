package pack

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// ask has R work something out.
func ask(t *testing.T, program string) []string {
	t.Helper()
	r, err := exec.LookPath("Rscript")
	if err != nil {
		t.Skip("the statistics package R is not installed (Debian r-base-core): testdata/spares holds its figures")
	}
	file := filepath.Join(t.TempDir(), "ask.R")
	if err := os.WriteFile(file, []byte(program), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.CommandContext(t.Context(), r, "--vanilla", file).CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	return strings.Split(strings.TrimSpace(string(out)), "\n")
}

func TestAgainstR(t *testing.T) {
	random := rand.New(rand.NewPCG(6, 1))
	var program strings.Builder
	program.WriteString(`carry <- function(r,a,b,c) { n <- r; repeat { k <- r:n
 p <- sum(exp(lchoose(n,k)+lbeta(a+k,b+n-k)-lbeta(a,b))); if (p >= c) break; n <- n+1 }
 cat(n, sprintf("%.12f", p), "\n") }
exact <- function(x,n,c) { i <- binom.test(x,n,conf.level=c)$conf.int; cat(sprintf("%.12f", i), "\n") }
`)
	const rows = 200
	var want []string
	for range rows {
		needed, fired, misfired := 1+random.IntN(30), random.IntN(100), random.IntN(20)
		confidence := 0.5 + float64(random.IntN(499))/1000 + 0.00037 // never one that a chance equals
		fmt.Fprintf(&program, "carry(%d,%d,%d,%v)\n", needed, 19+fired, 1+misfired, confidence)
		carry, _, chance := Carry(needed, OnBlackPowder, fired, misfired, confidence)
		want = append(want, fmt.Sprint(carry, chance))
	}
	for range rows {
		tried := 1 + random.IntN(500)
		fired := random.IntN(tried + 1)
		fmt.Fprintf(&program, "exact(%d,%d,0.95)\n", fired, tried)
		want = append(want, fmt.Sprint(Interval(fired, tried, 0.95)))
	}
	got := ask(t, program.String())
	if len(got) != len(want) {
		t.Fatalf("R answered %d of %d: %s", len(got), len(want), got)
	}
	for i := range got {
		var theirs, ours [2]float64
		if _, err := fmt.Sscan(got[i], &theirs[0], &theirs[1]); err != nil {
			t.Fatal(got[i], err)
		}
		if _, err := fmt.Sscan(want[i], &ours[0], &ours[1]); err != nil {
			t.Fatal(want[i], err)
		}
		if math.Abs(theirs[0]-ours[0]) > 1e-9 || math.Abs(theirs[1]-ours[1]) > 1e-9 {
			t.Errorf("row %d: R %s, ours %s", i, got[i], want[i])
		}
	}
}
