// Package app is the command line: it knows every other package and joins them
// in one direction, read → resolve → compute → inspect → lay out → write.
//
// A command prints its result on standard output and what it has to say about
// the input on standard error; inspect, whose findings are its result, prints
// them on standard output. The exit status is the same throughout: see Status.
package app

import (
	"errors"
	"fmt"
	"io"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"
)

// Version is the program's version, printed by --version and in SARIF logs.
const Version = "0.1.0"

// Status is what the program tells the shell.
type Status int

// The exit statuses.
const (
	Clean     Status = 0 // nothing to mend; warnings and notes do not count
	Findings  Status = 1 // inspection found errors
	Usage     Status = 2 // the command line was wrong
	Unreached Status = 3 // a file or folder could not be read or written
)

// statusError ends the program with a status; a nil cause prints nothing.
type statusError struct {
	status Status
	cause  error
}

func (e *statusError) Error() string {
	if e.cause == nil {
		return ""
	}
	return e.cause.Error()
}

func (e *statusError) Unwrap() error { return e.cause }

// foundErrors ends a command whose findings have been printed.
var foundErrors = &statusError{status: Findings}

func unreached(err error) error { return &statusError{Unreached, err} }

func usage(format string, args ...any) error {
	return &statusError{Usage, fmt.Errorf(format, args...)}
}

// softMemory is how many bytes the program takes before it looks more often for what can be given back. Beyond it nothing fails; what
// a journal may ask for is bounded by the limits of package notes.
const softMemory = 320 << 20

// roomyHeap is by how many hundredths the heap grows before it is looked at for what can be given back, as long as it stays below
// softMemory: most journals take a small part of that, and giving back as often as is usual takes a sixth of a publish.
const roomyHeap = 400

// Run is Main in a process of its own.
func Run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	debug.SetMemoryLimit(softMemory)
	debug.SetGCPercent(roomyHeap)
	return Main(args, stdin, stdout, stderr)
}

// Main runs the command line and returns the exit status.
func Main(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	root := newRoot()
	root.SetArgs(args)
	root.SetIn(stdin)
	line := newProgressLine(stderr)
	defer line.end()
	out := &output{to: stdout, line: line}
	said := &output{to: stderr, line: line}
	root.SetOut(out)
	root.SetErr(said)
	err := root.Execute()
	out.end()
	defer said.end()
	if out.err != nil { // whatever else came of it, who asked has not been told
		err = unreached(fmt.Errorf("the result could not be printed: %w", out.err))
	}
	if err == nil {
		return int(Clean)
	}
	status := Usage // whatever the command-line library refuses is wrong usage
	if e, ok := errors.AsType[*statusError](err); ok {
		status = e.status
	}
	if text := err.Error(); text != "" {
		fmt.Fprintf(said, "voltwright: %s\n", strings.TrimSpace(text))
		if status == Usage {
			fmt.Fprintln(said, "Run `voltwright help` for what there is, or `voltwright COMMAND --help`.")
		}
	}
	return int(status)
}

func newRoot() *cobra.Command {
	root := &cobra.Command{
		Use:   "voltwright",
		Short: "Checks the journal of a small electric vehicle's builds and publishes it",
		Long: `Voltwright reads a folder of Markdown build notes with specs in front matter and
run logs beside them, measures the logs, checks what was written against them,
and publishes the lot as a static site.

Exit status: 0 clean, 1 error findings, 2 wrong usage, 3 could not read or write.`,
		Version:           Version,
		SilenceErrors:     true,
		SilenceUsage:      true,
		DisableAutoGenTag: true,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 0 {
				return usage("there is no command `%s`%s", args[0], didYouMean(args[0], commandNames))
			}
			return nil
		},
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	root.SetHelpTemplate(helpTemplate)
	root.SetFlagErrorFunc(func(_ *cobra.Command, err error) error { return &statusError{Usage, err} })
	root.AddCommand(newBegin(), newInspect(), newPublish(), newProof(), newMeasure(), newPredict(), newValues(), newReply(), newArchive(), newExplain(), newSchema())
	for _, c := range root.Commands() {
		c.DisableFlagsInUseLine = true
	}
	root.CompletionOptions.HiddenDefaultCmd = false
	return root
}

var commandNames = []string{"begin", "inspect", "publish", "proof", "measure", "predict", "values", "reply", "archive", "explain", "schema", "completion", "help"}

// helpTemplate says first what a command does, then how it is written.
const helpTemplate = `{{with (or .Long .Short)}}{{. | trimTrailingWhitespaces}}
{{end}}
  {{if .HasParent}}{{.UseLine}}{{else}}voltwright COMMAND [options]{{end}}
{{if .HasExample}}
Examples
{{.Example}}
{{end}}{{if .HasAvailableSubCommands}}
Commands{{range .Commands}}{{if (or .IsAvailableCommand (eq .Name "help"))}}
  {{rpad .Name .NamePadding}}  {{.Short}}{{end}}{{end}}
{{end}}{{if .HasAvailableLocalFlags}}
Options
{{.LocalFlags.FlagUsages | trimTrailingWhitespaces}}
{{end}}`
