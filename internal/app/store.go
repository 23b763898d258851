package app

import (
	"github.com/spf13/cobra"

	"voltwright/internal/progress"
	"voltwright/internal/store"
)

// means are what a command works with, whatever it was asked.
type means struct {
	store *store.Store  // where it keeps what it computes; nil for nowhere
	line  *progressLine // on which it says how far it is
}

func (m means) told() progress.Report { return m.line.report() }

// keeping gives a command the option to keep nothing, and says what it works with.
func keeping(c *cobra.Command) func() means {
	off := c.Flags().Bool("no-store", false, "compute everything anew and keep nothing; what is kept is in the user's cache folder and may be deleted at any time")
	return func() means {
		m := means{line: lineOf(c)}
		if !*off {
			m.store = store.Default()
		}
		return m
	}
}

// lineOf is the line on which a command says how far it is.
func lineOf(c *cobra.Command) *progressLine {
	if o, ok := c.ErrOrStderr().(*output); ok {
		return o.line
	}
	return nil
}
