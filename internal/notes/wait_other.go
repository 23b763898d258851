//go:build !unix

package notes

// dontWait is nothing: there are no pipes in folders here.
const dontWait = 0
