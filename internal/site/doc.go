// Package site lays a journal out as a static site, in memory, and writes it to a folder.
//
// [Build] gives the same bytes for the same input, whatever the clock, the time zone and the machine. [Write] puts the
// new site in the place of the old one whole: whatever stops it, a reader finds the old site or the new one. Every page
// works under the policy `default-src 'self'`, from disk as from a server, without script, and on paper.
//
// A template of the theme that the journal replaces and that does not parse or run is a finding; the page is then made
// with the theme's own. What the package cannot catch: a template that runs and says something false.
package site
