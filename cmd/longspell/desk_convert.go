package main

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"longspell/internal/exchange"
)

func convertCommand() *cobra.Command {
	var players string
	c := &cobra.Command{
		Use:   "convert MATCHFILE --players FILE",
		Short: "A ball-by-ball match file as an over log",
		Args:  func(*cobra.Command, []string) error { return nil }, // runConvert refuses them with everything else
		RunE:  func(cmd *cobra.Command, args []string) error { return runConvert(cmd, args, players) },
	}
	c.Flags().StringVar(&players, "players", "", "the players file (needed)")
	return c
}

func runConvert(cmd *cobra.Command, args []string, playersFile string) error {
	f := faults{command: cmd.Name()}
	f.needed("players", playersFile)
	if len(args) == 0 || args[0] == "" {
		f.place("MATCHFILE", "", "is needed")
	}
	for _, a := range args[min(1, len(args)):] {
		f.place("argument", a, "the command takes one match file")
	}
	if err := f.refuse(cmd.ErrOrStderr()); err != nil {
		return err
	}
	var match exchange.Match
	var players []exchange.Player
	f.read("", args[0], func(r io.Reader) (errs []exchange.LineError) {
		match, errs = exchange.ReadMatch(args[0], r)
		return errs
	})
	f.read("players", playersFile, func(r io.Reader) (errs []exchange.LineError) {
		players, errs = exchange.ReadPlayers(playersFile, r)
		return errs
	})
	if err := f.refuse(cmd.ErrOrStderr()); err != nil {
		return err
	}
	rows, notFound := match.OverRows(withoutEnding(args[0]), exchange.NewRoster(players))
	if n := len(match.Dates); n > 1 {
		fmt.Fprintf(cmd.ErrOrStderr(), "%s: the match has %d dates and the file does not say on which day an over was bowled: every over is put on %s\n",
			args[0], n, match.Dates[0])
	}
	for _, who := range notFound {
		fmt.Fprintf(cmd.ErrOrStderr(), "%s: bowler %s: the name is kept, the kind of bowling is blank\n", args[0], who)
	}
	return exchange.WriteOvers(cmd.OutOrStdout(), rows)
}

// withoutEnding is a file's name without its folder and its ending; a name that is nothing but an ending stays.
func withoutEnding(name string) string {
	base := filepath.Base(name)
	if ref := strings.TrimSuffix(base, filepath.Ext(base)); ref != "" {
		return ref
	}
	return base
}
