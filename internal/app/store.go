package app

import (
	"github.com/spf13/cobra"

	"voltwright/internal/store"
)

// keeping gives a command the option to keep nothing, and says where it keeps what it computes: nil for nowhere.
func keeping(c *cobra.Command) func() *store.Store {
	off := c.Flags().Bool("no-store", false, "compute everything anew and keep nothing; what is kept is in the user's cache folder and may be deleted at any time")
	return func() *store.Store {
		if *off {
			return nil
		}
		return store.Default()
	}
}
