package main

import (
	"bufio"
	"errors"
	"strings"

	"github.com/spf13/cobra"

	"longspell/internal/limits"
)

// checkOptions are the options of check as given.
type checkOptions struct {
	files    deskFiles
	limits   string
	settings []string
	asJSON   bool
}

func checkCommand() *cobra.Command {
	var o checkOptions
	c := &cobra.Command{
		Use:   "check --overs FILE --limits ID",
		Short: "What was broken, and what is left, under a published limit set",
		Args:  noArguments,
		RunE:  func(cmd *cobra.Command, _ []string) error { return runCheck(cmd, o) },
	}
	c.Flags().StringVar(&o.files.overs, "overs", "", "the over log (needed)")
	c.Flags().StringVar(&o.files.players, "players", "", "the players file: without it nobody is judged by age")
	c.Flags().StringVar(&o.files.outings, "outings", "", "the outings file")
	c.Flags().StringVar(&o.limits, "limits", "", "the limit set (needed; see the command limits)")
	c.Flags().String("asof", "", "the last day that counts, YYYY-MM-DD (default: the latest date in the files)")
	c.Flags().StringArrayVar(&o.settings, "setting", nil, "a reading of an open point, NAME=VALUE")
	c.Flags().BoolVar(&o.asJSON, "json", false, "answer as JSON")
	return c
}

func runCheck(cmd *cobra.Command, o checkOptions) error {
	f := faults{command: cmd.Name()}
	f.needed("overs", o.files.overs)
	set := f.limitSet(o.limits)
	settings := f.settings(set, o.settings)
	asOf := f.day(cmd.Flags(), "asof")
	f.blank(cmd.Flags(), "players", "outings")
	if err := f.refuse(cmd.ErrOrStderr()); err != nil {
		return err
	}
	log := readDeskLog(&f, o.files, asOf)
	if err := f.refuse(cmd.ErrOrStderr()); err != nil {
		return err
	}
	v := judge(log, set, settings)
	out := bufio.NewWriterSize(cmd.OutOrStdout(), 256<<10)
	if o.asJSON {
		v.writeJSON(out)
	} else {
		v.print(out)
	}
	return out.Flush()
}

// limitSet finds the set that the option --limits names.
func (f *faults) limitSet(id string) *limits.Set {
	set, ok := limits.Lookup(id)
	if ok {
		return set
	}
	var known []string
	for _, s := range limits.Sets() {
		known = append(known, s.ID)
	}
	if id == "" {
		f.option("limits", id, "is needed: one of "+strings.Join(known, ", "))
	} else {
		f.option("limits", id, "there is no such limit set: it must be one of "+strings.Join(known, ", "))
	}
	return nil
}

// settings reads the options --setting NAME=VALUE against a set; nil where one of them is refused.
func (f *faults) settings(set *limits.Set, given []string) map[string]string {
	chosen := map[string]string{}
	for _, g := range given {
		name, value, ok := strings.Cut(g, "=")
		err := errors.New("must be written NAME=VALUE")
		if ok && set != nil {
			_, err = set.ResolveSettings(map[string]string{name: value})
		} else if ok {
			err = nil
		}
		if err != nil {
			f.option("setting", g, err.Error())
			continue
		}
		chosen[name] = value
	}
	if set == nil {
		return nil
	}
	all, err := set.ResolveSettings(chosen)
	if err != nil {
		f.option("setting", strings.Join(given, " "), err.Error())
	}
	return all
}
