// Command valveround plans and runs the days of crews that test and repair backflow preventers.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"
	_ "time/tzdata" // a bare container knows no zones

	"github.com/alecthomas/kong"
)

// version is set by the build.
var version = "unknown"

// commands are what the program can be asked to do.
type commands struct {
	Serve    serveCommand     `cmd:"" help:"Serve the pages and the API on this machine, with the log embedded."`
	Plan     planCommand      `cmd:"" help:"Plan one day and print or save the plan; nothing is sent out."`
	Suppose  supposeCommand   `cmd:"" help:"Say what would be otherwise on a day if a crew were off, a job came in, a window moved or parts were late."`
	Times    timesCommand     `cmd:"" help:"Say what the log tells of how long work takes and how often tests fail, beside the settings."`
	Settings settingsCommand  `cmd:"" help:"List every weight, duration and limit of planning, with its default."`
	Check    checkCommand     `cmd:"" help:"Check a saved plan against every rule, independently of the planner."`
	Import   importCommand    `cmd:"" help:"Take plain CSV files, a purveyor's due list or a file of positions into a log."`
	Init     initCommand      `cmd:"" help:"Make a new, empty log in a folder."`
	Log      logCommand       `cmd:"" help:"Export a log, or verify its hashes."`
	Demo     demoCommand      `cmd:"" help:"Write parts of the invented demo county as files."`
	Bench    benchCommand     `cmd:"" help:"Measure parts of the program: on this machine, and on published data."`
	Version  kong.VersionFlag `help:"Print the version."`
}

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := run(ctx, os.Args[1:], os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}

// streams are where a command writes: what was asked for, and what went wrong or is going on.
type streams struct{ out, err io.Writer }

// errSaid ends a command with exit code 1 when everything has been said already.
var errSaid = errors.New("see above")

// run is the whole program but for the process it runs in. Exit codes: 0 done; 1 it went wrong; 2 it was asked wrongly.
func run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	var c commands
	parser, err := kong.New(&c, kong.Name("valveround"),
		kong.Description("Plans and runs the days of crews that test and repair backflow preventers."),
		kong.Vars{"version": version}, kong.Writers(stdout, stderr), kong.UsageOnError(),
		kong.Exit(func(int) {}), kong.BindTo(ctx, (*context.Context)(nil)), kong.Bind(streams{stdout, stderr}))
	if err != nil {
		fmt.Fprintln(stderr, "valveround:", err)
		return 2
	}
	for _, a := range args {
		if a == "--help" || a == "-h" || a == "--version" {
			_, _ = parser.Parse(args) // prints what was asked for
			return 0
		}
	}
	parsed, err := parser.Parse(args)
	if err != nil {
		fmt.Fprintf(stderr, "valveround: %v\nTry: valveround --help\n", err)
		return 2
	}
	switch err := parsed.Run(); {
	case err == nil:
		return 0
	case errors.Is(err, errSaid):
		return 1
	default:
		fmt.Fprintln(stderr, "valveround:", err)
		return 1
	}
}
