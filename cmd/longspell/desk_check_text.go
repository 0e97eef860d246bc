package main

import (
	"bufio"
	"fmt"
	"slices"
	"strings"
	"text/tabwriter"

	"longspell/internal/limits"
)

// deskCaution stands below every answer about limits.
const deskCaution = "Counted from what the files hold; bowling that was not logged is not counted. Your competition's rules and medical advice come first.\n"

// print writes the answer for people to read.
func (v *verdict) print(out *bufio.Writer) {
	fmt.Fprintf(out, "%s: %s, %s, %d (%s)\n", v.set.ID, v.set.Title, v.set.Publisher, v.set.Year, v.set.Address)
	fmt.Fprintf(out, "as of %s; %s\n\n", dayOr(v.log.asOf.String()), settingsText(v.settings))
	if len(v.findings) == 0 {
		fmt.Fprintln(out, "No published limit was exceeded in the files; bowling that was not logged is not counted.")
	}
	for i := range v.findings {
		f := &v.findings[i]
		fmt.Fprintf(out, "%s  %s  %s  %s (%s): %s\n", f.breach.Date, v.ref(f.player()), v.placeText(f), f.breach.Limit(), f.breach.Weight(),
			v.set.AppendSays(nil, &f.breach, f.over()))
	}
	v.printNotJudged(out)
	v.printLeft(out)
	out.WriteString("\n" + deskCaution)
}

func dayOr(s string) string {
	if s == "" {
		return "no day: the files have no row"
	}
	return s
}

func settingsText(settings map[string]string) string {
	var parts []string
	for name, value := range settings {
		parts = append(parts, name+"="+value)
	}
	slices.Sort(parts)
	return strings.Join(parts, " ")
}

func (v *verdict) placeText(f *deskFinding) string {
	switch {
	case f.name() < 0:
		return "-"
	case f.over() == 0:
		return v.names[f.name()]
	}
	return fmt.Sprintf("%s, innings %d, over %d", v.names[f.name()], f.innings(), f.over())
}

func (v *verdict) printNotJudged(out *bufio.Writer) {
	var who []string
	for _, part := range v.parts {
		for i := range part.players {
			if p := &part.players[i]; !p.judged {
				who = append(who, v.refOf(p))
			}
		}
	}
	if len(who) > 0 {
		fmt.Fprintf(out, "\nNot judged by age, because the birth date is not known: %s\n", strings.Join(who, ", "))
	}
}

func (v *verdict) printLeft(out *bufio.Writer) {
	if v.log.asOf.IsZero() {
		return
	}
	fmt.Fprintf(out, "\nLeft on %s, after what was bowled that day:\n", v.log.asOf)
	table := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(table, "player\tspell overs\tday overs\tdays in 7\tdays in a row")
	for _, part := range v.parts {
		for i := range part.players {
			p := &part.players[i]
			fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%s\n", v.refOf(p), leftText(p.left.SpellOvers), leftText(p.left.DayOvers),
				leftText(p.left.DaysIn7), leftText(p.left.RunOfDays))
		}
	}
	_ = table.Flush() // a bufio.Writer keeps its error for Flush
}

func leftText(n int32) string {
	if n == limits.NoNumber {
		return "-"
	}
	return fmt.Sprint(n)
}
