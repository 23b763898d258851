package evidence

import (
	"regexp"
	"sync"
)

// lazily is an expression that is compiled when it is first asked for: together they take as long as some commands do. One that cannot be
// compiled panics then.
func lazily(expression string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(expression) })
}
