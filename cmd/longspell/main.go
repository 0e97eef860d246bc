// Command longspell is the whole product in one binary: the service (serve, demo, migrate, overnight, import) and the
// desk commands, which answer a question from files alone (limits, check, load, convert).
package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"syscall"

	"github.com/spf13/cobra"
)

// refused is an error whose text has been written already, line by line, as files.md asks; it ends the process with
// status 2.
type refused struct{ error }

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	os.Exit(run(ctx, os.Args[1:]))
}

func run(ctx context.Context, args []string) int {
	root := newRoot()
	root.SetArgs(args)
	err := root.ExecuteContext(ctx)
	var done refused
	switch {
	case err == nil:
		return 0
	case errors.As(err, &done):
		return 2
	}
	fmt.Fprintln(os.Stderr, "longspell:", err)
	return 1
}

func newRoot() *cobra.Command {
	root := &cobra.Command{
		Use:           "longspell",
		Short:         "Keeps junior spin bowlers bowling spin",
		SilenceUsage:  true,
		SilenceErrors: true,
		Args:          cobra.ArbitraryArgs,
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) == 0 {
				return c.Help()
			}
			f := faults{command: c.Name()}
			f.place("command", args[0], "there is no such command; longspell --help lists them")
			return f.refuse(c.ErrOrStderr())
		},
	}
	root.AddCommand(deskCommands()...)
	root.AddCommand(operatorCommands()...)
	root.AddCommand(serviceCommands()...)
	return root
}
