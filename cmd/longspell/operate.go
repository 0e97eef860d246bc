package main

import (
	"bufio"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"longspell/internal/app"
	"longspell/internal/clock"
	"longspell/internal/domain"
	"longspell/internal/exchange"
	"longspell/internal/limits"
	"longspell/internal/passwd"
	"longspell/internal/store"
)

// operatorCommands are what whoever hosts the service runs on the machine itself.
func operatorCommands() []*cobra.Command {
	return []*cobra.Command{migrateCommand(), regionCommand(), accountCommand(), importCommand(), overnightCommand()}
}

func migrateCommand() *cobra.Command {
	c := &cobra.Command{Use: "migrate", Short: "Bring the database to this program's version", Args: cobra.NoArgs}
	database := c.Flags().String("database", "", "the database as the role that owns it (else LONGSPELL_OWNER_DATABASE)")
	role := c.Flags().String("runtime-role", "longspell_app", "the PostgreSQL role that the service runs as")
	c.RunE = func(c *cobra.Command, _ []string) error {
		url := *database
		if url == "" {
			set, err := settings("")
			if err != nil {
				return err
			}
			if err := set.ForMigrate(); err != nil {
				return err
			}
			url = set.MigrateDatabase()
		}
		if err := store.Migrate(c.Context(), url, *role); err != nil {
			return err
		}
		fmt.Fprintln(c.OutOrStdout(), "the database is at this program's version")
		return nil
	}
	return c
}

func regionCommand() *cobra.Command {
	parent := &cobra.Command{Use: "region", Short: "Make a region, or list them"}
	list := &cobra.Command{Use: "list", Short: "List the regions", Args: cobra.NoArgs}
	listDB := databaseFlag(list)
	list.RunE = func(c *cobra.Command, _ []string) error {
		return withOffice(c.Context(), *listDB, func(o *office) error {
			all, err := o.app.Directory(c.Context())
			for _, r := range all {
				fmt.Fprintf(c.OutOrStdout(), "%s\t%s\t%s\n", r.ID, r.Name, r.TimeZone)
			}
			return err
		})
	}
	create := &cobra.Command{Use: "create NAME", Short: "Make a region with its current season and one adopted limit set", Args: cobra.ExactArgs(1)}
	createDB := databaseFlag(create)
	zone := create.Flags().String("time-zone", "", "a name of the IANA time zone database, such as Europe/London")
	start := create.Flags().String("season-start", "04-01", "month and day on which a season starts, MM-DD")
	set := create.Flags().String("limits", "", "the limit set to adopt from the season's first day")
	create.RunE = func(c *cobra.Command, args []string) error {
		day, err := domain.ParseDate("2023-" + *start)
		if err != nil {
			return fmt.Errorf("--season-start %q: %w", *start, err)
		}
		if _, ok := limits.Lookup(*set); !ok && *set != "" {
			return fmt.Errorf("--limits %q: there is no such limit set; see longspell limits", *set)
		}
		_, month, dayOfMonth := day.YMD()
		return withOffice(c.Context(), *createDB, func(o *office) error {
			r, err := o.app.CreateRegion(c.Context(), app.NewRegion{Name: args[0], TimeZone: *zone, SeasonStartMonth: month, SeasonStartDay: dayOfMonth, LimitSet: *set})
			if err == nil {
				fmt.Fprintln(c.OutOrStdout(), r.ID)
			}
			return err
		})
	}
	_ = create.MarkFlagRequired("time-zone")
	parent.AddCommand(list, create)
	return parent
}

func accountCommand() *cobra.Command {
	parent := &cobra.Command{Use: "account", Short: "Make an account with its first appointment"}
	create := &cobra.Command{Use: "create E-MAIL", Short: "Make an account; the password is read from standard input, one line", Args: cobra.ExactArgs(1)}
	database := databaseFlag(create)
	region := create.Flags().String("region", "", "the region, by name or id")
	name := create.Flags().String("name", "", "the name that others see")
	role := create.Flags().String("role", string(domain.RegionOfficer), "region_officer, club_lead or coach")
	club := create.Flags().String("club", "", "the club's id, for a club lead or a coach")
	create.RunE = func(c *cobra.Command, args []string) error {
		password, err := bufio.NewReader(c.InOrStdin()).ReadString('\n')
		password = strings.TrimRight(password, "\r\n")
		if err != nil && password == "" {
			return errors.New("no password: give it as one line on standard input")
		}
		if err := passwd.Check(password, args[0], *name); err != nil {
			return err
		}
		return withOffice(c.Context(), *database, func(o *office) error {
			r, err := o.region(c.Context(), *region)
			if err != nil {
				return err
			}
			acc, err := o.app.CreateAccount(c.Context(), app.NewAccount{Email: args[0], DisplayName: *name, Password: password, Region: r.ID,
				Role: domain.Role(*role), ClubID: domain.ID(*club)})
			if err == nil {
				fmt.Fprintln(c.OutOrStdout(), acc.ID)
			}
			return err
		})
	}
	for _, f := range []string{"region", "name"} {
		_ = create.MarkFlagRequired(f)
	}
	parent.AddCommand(create)
	return parent
}

func importCommand() *cobra.Command {
	kinds := []app.ImportKind{app.ImportPlayers, app.ImportOutings, app.ImportOvers, app.ImportMatch}
	c := &cobra.Command{Use: "import players|outings|overs|match FILE", Short: "Import a file into a region: all or nothing, repeatable without doubles",
		Args: cobra.ExactArgs(2)}
	database := databaseFlag(c)
	region := c.Flags().String("region", "", "the region, by name or id")
	club := c.Flags().String("club", "", "the club, by name or id; without it the file says which")
	dry := c.Flags().Bool("dry-run", false, "say what would be done, and do nothing")
	_ = c.MarkFlagRequired("region")
	c.RunE = func(c *cobra.Command, args []string) error {
		kind := app.ImportKind(args[0])
		if !slices.Contains(kinds, kind) {
			return fmt.Errorf("%q is no kind of import; there are players, outings, overs and match", args[0])
		}
		f, err := os.Open(args[1])
		if err != nil {
			return err
		}
		defer f.Close()
		return withOffice(c.Context(), *database, func(o *office) error {
			r, err := o.region(c.Context(), *region)
			if err != nil {
				return err
			}
			cmd := app.ImportFile{Kind: kind, FileName: args[1], Content: f, DryRun: *dry}
			if *club != "" {
				if cmd.ClubID, err = o.app.ClubByName(c.Context(), r.ID, *club); err != nil {
					return err
				}
			}
			rep, err := o.app.ImportAsOperator(c.Context(), r.ID, cmd)
			if err != nil {
				return err
			}
			return showImport(c, rep)
		})
	}
	return c
}

// showImport prints what was done, or every bad row, one per line, and then status 2.
func showImport(c *cobra.Command, rep app.ImportReport) error {
	if len(rep.Errors) > 0 {
		f := faults{command: "import"}
		for _, e := range rep.Errors {
			f.lines = append(f.lines, exchange.LineError(e).Error())
		}
		return f.refuse(c.ErrOrStderr())
	}
	for _, n := range rep.Notes {
		fmt.Fprintln(c.ErrOrStderr(), n)
	}
	did := "stored"
	if rep.DryRun {
		did = "would be stored (dry run)"
	}
	fmt.Fprintf(c.OutOrStdout(), "%s: %d rows: %d new, %d changed, %d as they were; %s\n", filepath.Base(rep.FileName), rep.Rows, rep.Created, rep.Changed, rep.Unchanged, did)
	return nil
}

func overnightCommand() *cobra.Command {
	c := &cobra.Command{Use: "overnight", Short: "Run one local date by hand, for one region or all", Args: cobra.NoArgs}
	database := databaseFlag(c)
	date := c.Flags().String("date", "", "the local date, YYYY-MM-DD")
	region := c.Flags().String("region", "", "the region, by name or id; without it all regions")
	_ = c.MarkFlagRequired("date")
	c.RunE = func(c *cobra.Command, _ []string) error {
		d, err := domain.ParseDate(*date)
		if err != nil {
			return fmt.Errorf("--date %q: %w", *date, err)
		}
		return withOffice(c.Context(), *database, func(o *office) error {
			regions, err := o.app.Directory(c.Context())
			if *region != "" {
				var r domain.Region
				r, err = o.region(c.Context(), *region)
				regions = []domain.Region{r}
			}
			if err != nil {
				return err
			}
			var failed []error
			for _, r := range regions {
				failed = append(failed, runNight(c, o, r, d))
			}
			return errors.Join(failed...)
		})
	}
	return c
}

// runNight runs one region's night and prints one line; another region's failure does not stop it.
func runNight(c *cobra.Command, o *office, r domain.Region, d domain.Date) error {
	if !d.Before(domain.DateOf(clock.System{}.Now(), r.Location())) {
		return fmt.Errorf("%s: %s is not over there yet", r.Name, d)
	}
	rep, err := o.app.Night(c.Context(), r.ID, d, holderName(), nil)
	switch {
	case errors.Is(err, app.ErrBusy):
		fmt.Fprintf(c.OutOrStdout(), "%s %s: another process is at it\n", r.Name, d)
		return nil
	case err != nil:
		return fmt.Errorf("%s %s: %w", r.Name, d, err)
	case rep.Already:
		fmt.Fprintf(c.OutOrStdout(), "%s %s: done before, nothing to do\n", r.Name, d)
	default:
		fmt.Fprintf(c.OutOrStdout(), "%s %s: %d players looked at, %d notices opened, %d facts gathered\n", r.Name, d, rep.Players, rep.Opened, rep.Gathered)
	}
	return nil
}

// holderName names this process in the lease of a nightly run.
func holderName() string {
	host, err := os.Hostname()
	if err != nil {
		host = "host"
	}
	return fmt.Sprintf("%s/%d", host, os.Getpid())
}
