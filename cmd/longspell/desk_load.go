package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"longspell/internal/domain"
	"longspell/internal/load"
)

func loadCommand() *cobra.Command {
	var files deskFiles
	var asJSON bool
	c := &cobra.Command{
		Use:   "load --overs FILE",
		Short: "Balls and overs by player: by day, over 7 and 28 days, days since last bowled, spells",
		Args:  noArguments,
		RunE:  func(cmd *cobra.Command, _ []string) error { return runLoad(cmd, files, asJSON) },
	}
	c.Flags().StringVar(&files.overs, "overs", "", "the over log (needed)")
	c.Flags().StringVar(&files.outings, "outings", "", "the outings file")
	c.Flags().String("asof", "", "the last day that counts, YYYY-MM-DD (default: the latest date in the files)")
	c.Flags().BoolVar(&asJSON, "json", false, "answer as JSON")
	return c
}

func runLoad(cmd *cobra.Command, files deskFiles, asJSON bool) error {
	f := faults{command: cmd.Name()}
	f.needed("overs", files.overs)
	asOf := f.day(cmd.Flags(), "asof")
	f.blank(cmd.Flags(), "outings")
	if err := f.refuse(cmd.ErrOrStderr()); err != nil {
		return err
	}
	log := readDeskLog(&f, files, asOf)
	if err := f.refuse(cmd.ErrOrStderr()); err != nil {
		return err
	}
	out := bufio.NewWriterSize(cmd.OutOrStdout(), 256<<10)
	if !asJSON {
		printLoad(out, log)
	} else if err := writeLoad(out, log); err != nil {
		return err
	}
	return out.Flush()
}

// loadOf counts one player's rows.
func (l *deskLog) loadOf(p int32) load.PlayerLoad {
	who := &l.players[p]
	one := load.PlayerLog{Player: who.ref, First: who.first}
	overs, outings := l.inPlay(p)
	for i := range overs {
		r := &overs[i]
		in := &l.innings[r.innings]
		one.Overs = append(one.Overs, load.Over{Date: r.date, Match: l.matches[in.match].ref, Innings: int(in.no), Over: int(r.over),
			Balls: int(r.balls), Valid: int(r.valid), In: in.in})
	}
	for i := range outings {
		r := &outings[i]
		one.Outings = append(one.Outings, load.Outing{Date: r.date, Balls: int(r.balls),
			Overs: domain.CountedOvers(r.at, int(r.balls), int(r.overs), r.oversGiven)})
	}
	return load.Of(one, l.asOf)
}

// writeLoad writes one player after the other.
func writeLoad(out *bufio.Writer, log *deskLog) error {
	asOf := "null"
	if !log.asOf.IsZero() {
		asOf = `"` + log.asOf.String() + `"`
	}
	fmt.Fprintf(out, `{"asof":%s,"players":[`, asOf)
	for i, p := range log.byRef {
		if i > 0 {
			out.WriteByte(',')
		}
		raw, err := json.Marshal(log.loadOf(p))
		if err != nil {
			return err
		}
		out.WriteByte('\n')
		out.Write(raw)
	}
	out.WriteString("]}\n")
	return nil
}

func printLoad(out *bufio.Writer, log *deskLog) {
	fmt.Fprintf(out, "as of %s\n\n", dayOr(log.asOf.String()))
	table := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(table, "player\tlast\tdays since\ttoday\t7 days\t28 days\tusual week\tspells")
	for _, p := range log.byRef {
		l := log.loadOf(p)
		last, since, usual := "-", "-", "-"
		if l.Last != nil {
			last, since = l.Last.String(), fmt.Sprint(*l.DaysSince)
		}
		if l.UsualWeekBalls != nil {
			usual = fmt.Sprintf("%g balls", *l.UsualWeekBalls)
		}
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%s\t%s\t%s\t%d\n", l.Player, last, since, countText(l.Day), countText(l.Days7.Count),
			countText(l.Days28.Count), usual, len(l.Spells))
	}
	_ = table.Flush() // a bufio.Writer keeps its error for Flush
	out.WriteString("\nUsual week: the balls of the 28 days before the last 7, divided by 4.\n" + deskCaution)
}

func countText(c load.Count) string { return fmt.Sprintf("%d balls, %d overs", c.Balls, c.Overs) }
