package limits

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"longspell/internal/domain"
)

// In the tests a log is written as words, one for an over: F fast (the keeper back), U seam with the keeper up, S spin, and the
// over's number; "F3@A" says the end, "F7+30" a break of 30 minutes before it. A word that begins with "-" is somebody else's over.

const day1 = "2026-05-09"

// bowled is a log of one player in one match.
type bowled struct {
	t     *testing.T
	log   PlayerLog
	match string
	date  domain.Date
	in    map[string]*Innings

	oversASide, cap, innings int
}

// bowler is a player of an England age group in the season of 2026; "" = the birth date is not known.
func bowler(t *testing.T, group string) *bowled {
	t.Helper()
	b := &bowled{t: t, match: "m1", date: domain.MustDate(day1), innings: 1, in: map[string]*Innings{}}
	b.log.Player = "p7"
	if group != "" {
		n, err := strconv.Atoi(strings.TrimPrefix(group, "U"))
		if err != nil {
			t.Fatal(err)
		}
		// Age n-1 on 31 August 2025, and in the Australian season of 2025/26, which began on 1 July 2025.
		b.log.Born = domain.MustDate(fmt.Sprintf("%d-03-01", 2025-(n-1)))
	}
	return b
}

func (b *bowled) on(date string) *bowled { b.date = domain.MustDate(date); return b }

func (b *bowled) playing(match string, innings int) *bowled {
	b.match, b.innings = match, innings
	return b
}

func (b *bowled) format(overs, cap int) *bowled { b.oversASide, b.cap = overs, cap; return b }

func (b *bowled) inningsOf() *Innings {
	key := fmt.Sprint(b.match, b.innings)
	if b.in[key] == nil {
		b.in[key] = NewInnings()
	}
	return b.in[key]
}

func (b *bowled) overs(words string) *bowled {
	b.t.Helper()
	for word := range strings.FieldsSeq(words) {
		other := strings.HasPrefix(word, "-")
		word = strings.TrimPrefix(word, "-")
		word, breakText, _ := strings.Cut(word, "+")
		word, endText, _ := strings.Cut(word, "@")
		end, ok := domain.ParseEnd(endText)
		over, err := strconv.Atoi(word[1:])
		if !ok || err != nil {
			b.t.Fatalf("%q is no over", word)
		}
		breakMin := 0
		if breakText != "" {
			if breakMin, err = strconv.Atoi(breakText); err != nil {
				b.t.Fatal(err)
			}
		}
		in := b.inningsOf()
		in.Add(over, end, breakMin)
		if other {
			continue
		}
		kind := map[byte]domain.BowlingKind{'F': domain.SeamBack, 'U': domain.SeamUp, 'S': domain.FingerSpin, '?': domain.KindUnknown}[word[0]]
		b.log.Overs = append(b.log.Overs, Over{Date: b.date, Match: b.match, Innings: b.innings, Over: over, Kind: kind,
			Balls: 6, Valid: 6, OversASide: b.oversASide, BowlerCap: b.cap, In: in})
	}
	return b
}

// outing adds an outing on the day at hand; overs below 0 are not given.
func (b *bowled) outing(ref string, at domain.OutingKind, kind domain.BowlingKind, balls, overs int) *bowled {
	b.log.Outings = append(b.log.Outings, Outing{Ref: ref, Date: b.date, OutingKind: at, Kind: kind, Balls: balls,
		Overs: max(overs, 0), OversGiven: overs >= 0})
	return b
}

func (b *bowled) under(set string, settings ...string) Result {
	b.t.Helper()
	s, ok := Lookup(set)
	if !ok {
		b.t.Fatalf("no limit set %s", set)
	}
	return b.judgedBy(s, settings...)
}

func (b *bowled) judgedBy(s *Set, settings ...string) Result {
	b.t.Helper()
	opt := Options{Settings: map[string]string{}}
	for _, st := range settings {
		name, value, _ := strings.Cut(st, "=")
		opt.Settings[name] = value
	}
	return s.Evaluate(b.log, opt)
}

// short writes a finding as "limit over actual/allowed", with earliest for rest, the outing where there is no over, the
// weight where it is not "limit" and the date where it is not the first day.
func short(f Finding) string {
	s := f.Limit
	switch {
	case f.Over != nil:
		s += " " + strconv.Itoa(*f.Over)
	case f.Match != nil:
		s += " " + *f.Match
	}
	s += " " + strconv.Itoa(f.Actual)
	if f.Allowed != nil {
		s += "/" + strconv.Itoa(*f.Allowed)
	}
	if f.Earliest != nil {
		s += " earliest " + strconv.Itoa(*f.Earliest)
	}
	if f.Weight != WeightLimit {
		s += " " + f.Weight
	}
	if f.Date != domain.MustDate(day1) {
		s += " " + f.Date.String()[5:]
	}
	return s
}

func shorts(fs []Finding) string {
	var out []string
	for _, f := range fs {
		out = append(out, short(f))
	}
	return strings.Join(out, "; ")
}

func wantFindings(t *testing.T, res Result, want string) {
	t.Helper()
	if got := shorts(res.Findings); got != want {
		t.Errorf("findings:\n got %q\nwant %q", got, want)
	}
}
