package limits

import (
	"bytes"
	"embed"
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"longspell/internal/domain"
)

//go:embed data/*.json
var files embed.FS

// The values of AgeOn.Of, Set.SpellCounts and Set.DayCounts.
const (
	ageYearBefore = "year_before"
	ageSeason     = "season"
	ageOnDay      = "day"

	countsFast          = "fast_overs"
	countsAll           = "all"
	countsFromFirstFast = "all_from_first_fast"
)

var sets = mustLoad()

// Sets lists every published limit set the product knows, in order of its id.
func Sets() []*Set { return slices.Clone(sets) }

// Lookup finds a set by its id.
func Lookup(id string) (*Set, bool) {
	for _, s := range sets {
		if s.ID == id {
			return s, true
		}
	}
	return nil, false
}

// mustLoad reads the embedded sets. A file that does not hold what the evaluator needs is a fault of the build.
func mustLoad() []*Set {
	entries, err := files.ReadDir("data")
	if err != nil {
		panic(err)
	}
	var out []*Set
	for _, e := range entries {
		raw, err := files.ReadFile("data/" + e.Name())
		if err != nil {
			panic(err)
		}
		s, err := parseSet(raw)
		if err != nil {
			panic(fmt.Sprintf("limits: data/%s: %v", e.Name(), err))
		}
		out = append(out, s)
	}
	slices.SortFunc(out, func(a, b *Set) int { return strings.Compare(a.ID, b.ID) })
	return out
}

// parseSet reads one data file and checks that it is whole: known words, bands from young to old, a source for each figure.
func parseSet(raw []byte) (*Set, error) {
	s := &Set{}
	dec := json.NewDecoder(bytes.NewReader(raw))
	dec.DisallowUnknownFields()
	if err := dec.Decode(s); err != nil {
		return nil, err
	}
	for _, name := range s.FastKinds {
		k, ok := domain.ParseBowlingKind(name)
		if !ok || k == domain.KindUnknown {
			return nil, fmt.Errorf("fast_kinds: %q is no bowling kind", name)
		}
		s.fast[k] = true
	}
	if err := s.parseBands(); err != nil {
		return nil, err
	}
	if err := s.parseFigures(); err != nil {
		return nil, err
	}
	return s, s.checkWords()
}

func (s *Set) parseBands() error {
	if len(s.Bands) == 0 {
		return fmt.Errorf("bands: none")
	}
	for i, b := range s.Bands {
		top, err := strconv.Atoi(strings.TrimPrefix(b.UpTo, "U"))
		if err != nil || b.UpTo != groupName(top) {
			return fmt.Errorf("bands: %q is no age group", b.UpTo)
		}
		if i > 0 && top <= s.bandTop[i-1] {
			return fmt.Errorf("bands: %s does not follow from young to old", b.UpTo)
		}
		s.bandTop = append(s.bandTop, top)
	}
	return nil
}

func (s *Set) parseFigures() error {
	for _, f := range s.Figures {
		if f.Weight != WeightLimit && f.Weight != WeightGuidance {
			return fmt.Errorf("figures: %q is no weight", f.Weight)
		}
		for _, id := range append([]string{f.Source}, f.Also...) {
			if !slices.ContainsFunc(s.Sources, func(x Source) bool { return x.ID == id }) {
				return fmt.Errorf("figures: %s names the source %q, which is not spelled out", f.Limit, id)
			}
		}
		if no, ok := limitNoOf(f.Limit); ok {
			s.figure[no] = f
		}
	}
	has := func(no limitNo, any bool) error {
		if any != (s.figure[no].Source != "") {
			return fmt.Errorf("figures: %s is in the bands and without a source, or the other way round", no)
		}
		return nil
	}
	if err := has(restOvers, s.Rest); err != nil {
		return err
	}
	for no, get := range bandFigures {
		if err := has(no, slices.ContainsFunc(s.Bands, func(b Band) bool { return get(&b) != nil })); err != nil {
			return err
		}
	}
	return nil
}

// bandFigures finds the figure of a limit in a band.
var bandFigures = map[limitNo]func(*Band) *int{
	spellOvers: func(b *Band) *int { return b.SpellOvers },
	dayOvers:   func(b *Band) *int { return b.DayOvers },
	netBalls:   func(b *Band) *int { return b.NetBalls },
	netPerWeek: func(b *Band) *int { return b.NetPerWeek },
	daysIn7:    func(b *Band) *int { return b.DaysIn7 },
	runOfDays:  func(b *Band) *int { return b.RunOfDays },
}

func (s *Set) checkWords() error {
	words := []struct {
		field, value string
		known        []string
	}{
		{"age_on", s.AgeOn.Of, []string{ageYearBefore, ageSeason, ageOnDay}},
		{"spell_counts", s.SpellCounts, []string{countsFast, countsAll}},
		{"day_counts", s.DayCounts, []string{countsFast, countsAll, countsFromFirstFast}},
	}
	for _, w := range words {
		if !slices.Contains(w.known, w.value) {
			return fmt.Errorf("%s: %q is not one of %v", w.field, w.value, w.known)
		}
	}
	for _, st := range s.Settings {
		if !slices.Contains(st.Values, st.Value) || st.Says == "" {
			return fmt.Errorf("settings: %s has a default outside its values, or says nothing", st.Name)
		}
	}
	if s.ID == "" || s.Title == "" || s.Publisher == "" || s.Year == 0 || s.Address == "" || s.ValidFrom.IsZero() || s.NewSpellAfterMin <= 0 {
		return fmt.Errorf("id, title, publisher, year, address, valid_from and new_spell_after_min are needed")
	}
	return nil
}
