package main

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"longspell/internal/domain"
)

// BenchmarkCheckAgainstReading runs check over a million rows of 20,000 bowlers and, in the same run, reads the same file with
// encoding/csv alone. It reports how many times the reading the whole answer takes.
func BenchmarkCheckAgainstReading(b *testing.B) {
	overs, players := writeRegionLog(b, 1_000_000, 20_000)
	var reading, checking time.Duration
	b.ResetTimer()
	for range b.N {
		start := time.Now()
		if err := readCSV(overs); err != nil {
			b.Fatal(err)
		}
		reading += time.Since(start)
		start = time.Now()
		root := newRoot()
		root.SetOut(io.Discard)
		root.SetArgs([]string{"check", "--overs", overs, "--players", players, "--limits", "ecb-2010", "--json"})
		if err := root.Execute(); err != nil {
			b.Fatal(err)
		}
		checking += time.Since(start)
	}
	b.ReportMetric(float64(checking)/float64(reading), "readings")
	b.ReportMetric(reading.Seconds()/float64(b.N), "s/reading")
	b.ReportMetric(checking.Seconds()/float64(b.N), "s/check")
}

func readCSV(name string) error {
	f, err := os.Open(name)
	if err != nil {
		return err
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.ReuseRecord = true
	for {
		if _, err := r.Read(); errors.Is(err, io.EOF) {
			return nil
		} else if err != nil {
			return err
		}
	}
}

// writeRegionLog invents a season of 40-over matches between sides of eight bowlers, two of whom bowl in tandem, and the players.
func writeRegionLog(b *testing.B, rows, bowlers int) (overs, players string) {
	b.Helper()
	rng := rand.New(rand.NewPCG(7, 11))
	kinds := domain.BowlingKinds()
	opening := domain.MustDate("2026-04-04")
	overs = invented(b, "overs.csv", func(w *bufio.Writer) {
		fmt.Fprintln(w, "match,date,day,overs_a_side,bowler_cap,innings,over,end,player,kind,balls,valid,break_min")
		const innings, perInnings, side = 2, 40, 8
		for n := range rows {
			match := n / (innings * perInnings)
			over := n%perInnings + 1
			first := (n / perInnings * side) % (bowlers - side)
			bowler := first + over%2 + 2*((over-1)/10)
			fmt.Fprintf(w, "m%d,%s,,40,8,%d,%d,%c,p%05d,%s,%d,6,\n", match, opening.AddDays(match*innings*perInnings*150/rows), n/perInnings%innings+1, over,
				'B'-over%2, bowler, kinds[bowler%len(kinds)], 6+rng.IntN(3)/2)
		}
	})
	players = invented(b, "players.csv", func(w *bufio.Writer) {
		fmt.Fprintln(w, "player,born,kind")
		for p := range bowlers {
			fmt.Fprintf(w, "p%05d,%s,%s\n", p, domain.MustDate("2008-01-01").AddDays(rng.IntN(3650)), kinds[p%len(kinds)])
		}
	})
	return overs, players
}

func invented(b *testing.B, name string, write func(*bufio.Writer)) string {
	b.Helper()
	path := filepath.Join(b.TempDir(), name)
	f, err := os.Create(path)
	if err != nil {
		b.Fatal(err)
	}
	w := bufio.NewWriter(f)
	write(w)
	if err := errors.Join(w.Flush(), f.Close()); err != nil {
		b.Fatal(err)
	}
	return path
}
