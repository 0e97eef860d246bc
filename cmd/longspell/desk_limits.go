package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"longspell/internal/limits"
)

func limitsCommand() *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use:   "limits",
		Short: "Every published limit set with its figures, sources and settings",
		Args:  noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if asJSON {
				return writeJSON(cmd.OutOrStdout(), map[string]any{"limit_sets": limits.Sets()})
			}
			return printLimits(cmd.OutOrStdout(), limits.Sets())
		},
	}
	c.Flags().BoolVar(&asJSON, "json", false, "answer as JSON")
	return c
}

// writeJSON writes a small answer, indented for people who read it.
func writeJSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}

func printLimits(w io.Writer, sets []*limits.Set) error {
	out := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for i, s := range sets {
		if i > 0 {
			fmt.Fprintln(out)
		}
		fmt.Fprintf(out, "%s: %s, %s, %d\n", s.ID, s.Title, s.Publisher, s.Year)
		fmt.Fprintf(out, "read at %s\n", s.Address)
		until := "until further notice"
		if s.ValidTo != nil {
			until = "to " + s.ValidTo.String()
		}
		fmt.Fprintf(out, "valid from %s %s; age on %s; fast: %s (%s)\n", s.ValidFrom, until, s.AgeRule, strings.Join(s.FastKinds, ", "), s.FastSays)
		fmt.Fprintf(out, "a break of %d minutes begins a new spell\n", s.NewSpellAfterMin)
		fmt.Fprintln(out, "up to\tspell overs\tday overs\tnet balls\tnets in 7 days\tdays in 7\tdays in a row")
		for _, b := range s.Bands {
			fmt.Fprintf(out, "%s\t%s\t%s\t%s\t%s\t%s\t%s\n", b.UpTo, figure(b.SpellOvers), figure(b.DayOvers), figure(b.NetBalls),
				figure(b.NetPerWeek), figure(b.DaysIn7), figure(b.RunOfDays))
		}
		for _, st := range s.Settings {
			fmt.Fprintf(out, "setting %s=%s (%s): %s\n", st.Name, st.Value, strings.Join(st.Values, ", "), st.Says)
		}
		for _, f := range s.Figures {
			fmt.Fprintf(out, "%s: %s, read in %s\n", f.Limit, f.Weight, strings.Join(append([]string{f.Source}, f.Also...), ", "))
		}
		for _, src := range s.Sources {
			fmt.Fprintf(out, "%s: %s, %s%s: %s\n", src.ID, src.Publisher, src.Title, year(src.Year), src.Address)
		}
	}
	return out.Flush()
}

func year(y *int) string {
	if y == nil {
		return ""
	}
	return ", " + strconv.Itoa(*y)
}

// figure is a limit's number, or a dash where the text has none.
func figure(n *int) string {
	if n == nil {
		return "-"
	}
	return strconv.Itoa(*n)
}
