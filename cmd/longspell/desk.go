package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"longspell/internal/domain"
	"longspell/internal/exchange"
)

// deskCommands are the commands that answer a question from files alone, without a server or an account.
func deskCommands() []*cobra.Command {
	commands := []*cobra.Command{limitsCommand(), checkCommand(), loadCommand(), convertCommand()}
	for _, c := range commands {
		c.SetFlagErrorFunc(refuseFlag)
	}
	return commands
}

var errRefused = errors.New("refused")

// faults collects everything that is wrong with a call, so that all of it is told at once: one line per fault on standard
// error, nothing on standard output.
type faults struct {
	command string
	lines   []string
}

// option refuses the value of an option.
func (f *faults) option(name, value, reason string) {
	f.place("--"+name, value, reason)
}

func (f *faults) place(place, value, reason string) {
	f.lines = append(f.lines, fmt.Sprintf("%s: %s: %s: %s", f.command, place, exchange.QuoteValue(value), reason))
}

func (f *faults) file(errs []exchange.LineError) {
	for _, e := range errs {
		f.lines = append(f.lines, e.Error())
	}
}

// refuse writes what was wrong; nil where nothing was.
func (f *faults) refuse(stderr io.Writer) error {
	if len(f.lines) == 0 {
		return nil
	}
	if _, err := io.WriteString(stderr, strings.Join(f.lines, "\n")+"\n"); err != nil {
		return err
	}
	return refused{errRefused}
}

// refuseFlag tells an option that cobra itself does not take in the form of all refusals.
func refuseFlag(cmd *cobra.Command, err error) error {
	f := faults{command: cmd.Name()}
	var unknown *pflag.NotExistError
	var noValue *pflag.ValueRequiredError
	var badValue *pflag.InvalidValueError
	var badSyntax *pflag.InvalidSyntaxError
	switch {
	case errors.As(err, &unknown):
		f.place(dashes(unknown.GetSpecifiedName(), unknown.GetSpecifiedShortnames()), "", "there is no such option")
	case errors.As(err, &noValue):
		f.place(dashes(noValue.GetSpecifiedName(), noValue.GetSpecifiedShortnames()), "", "a value is needed")
	case errors.As(err, &badValue):
		f.option(badValue.GetFlag().Name, badValue.GetValue(), "the option does not take this value")
	case errors.As(err, &badSyntax):
		f.place(badSyntax.GetSpecifiedFlag(), "", "this is not how an option is written")
	default:
		f.place("--", "", err.Error())
	}
	return f.refuse(cmd.ErrOrStderr())
}

func dashes(name, shorts string) string {
	if shorts != "" {
		return "-" + name
	}
	return "--" + name
}

// noArguments refuses anything that is not an option.
func noArguments(cmd *cobra.Command, args []string) error {
	f := faults{command: cmd.Name()}
	for _, a := range args {
		f.place("argument", a, "the command takes options only")
	}
	return f.refuse(cmd.ErrOrStderr())
}

// needed refuses an option that was left out or left blank.
func (f *faults) needed(name, value string) {
	if value == "" {
		f.option(name, value, "is needed")
	}
}

// blank refuses options that were given without a value: a script whose variable is not set must not pass for one that left
// the file out.
func (f *faults) blank(flags *pflag.FlagSet, names ...string) {
	for _, name := range names {
		if flags.Changed(name) && flags.Lookup(name).Value.String() == "" {
			f.option(name, "", "a file name is needed")
		}
	}
}

// day reads the option --asof; the zero date where it was not given.
func (f *faults) day(flags *pflag.FlagSet, name string) domain.Date {
	if !flags.Changed(name) {
		return domain.Date{}
	}
	value, err := flags.GetString(name)
	if err != nil {
		f.option(name, value, err.Error())
		return domain.Date{}
	}
	d, err := domain.ParseDate(value)
	if err != nil {
		f.option(name, value, err.Error())
	}
	return d
}

// read opens the file that an option names and hands it on. A blank name is an option that was not given.
func (f *faults) read(option, name string, take func(io.Reader) []exchange.LineError) {
	if name == "" {
		return
	}
	file, err := os.Open(name)
	if err == nil {
		defer file.Close()
		var st os.FileInfo
		if st, err = file.Stat(); err == nil && st.IsDir() {
			err = errors.New("it is a directory")
		}
	}
	if err != nil {
		var path *os.PathError
		if errors.As(err, &path) {
			err = path.Err
		}
		if option == "" {
			f.place("MATCHFILE", name, "the file cannot be read: "+err.Error())
		} else {
			f.option(option, name, "the file cannot be read: "+err.Error())
		}
		return
	}
	f.file(take(file))
}
