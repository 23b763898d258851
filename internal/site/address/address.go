// Package address says where on the site each page, each file beside it and each anchor that others lead to stands. Paths are of the
// site, with slashes and without one at the front.
package address

import (
	"fmt"
	"net/url"
	"path"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
)

// Pages of which there is at most one.
const (
	Front       = "index.html"
	Questions   = "questions/index.html"
	Corrections = "corrections/index.html"
	Subjects    = "subjects/index.html"
	Parts       = "parts/index.html"        // all parts, and where each is used
	Method      = "method/index.html"       // the formulas
	Rules       = "method/rules/index.html" // the rules of inspection
	Glossary    = "glossary/index.html"
	Published   = "published/index.html" // what is published of the journal
	Search      = "search/index.html"
	Missing     = "404.html"
)

// SearchIndex is what the search page asks. It stands beside the page and not among the shared files, so that it stays behind where
// some of the pages are taken elsewhere.
const SearchIndex = "search/index.js"

// SearchPart is a part of the texts that the search page asks after the index, counted from 0.
func SearchPart(n int) string { return fmt.Sprintf("search/texts-%d.js", n) }

// Files beside the page of a run or a version, and the plots of a run that no channel has.
const (
	CitationFile    = "citation.txt"     // how a run is cited, as plain text
	ResultsFile     = "results.json"     // the record of a run's results
	PredictionsFile = "predictions.json" // the record of what is computed for a version
	ReboundPlot     = "cutout"           // the voltage about the opening of the cutout, enlarged, with its rebound
	PredictionPlot  = "prediction"       // a run's voltage beside the one predicted by what had not seen the run
)

// FeedFile is the journal's feed: Atom, RFC 4287. A journal that states no address has none, as an entry must have an
// address of its own.
const FeedFile = "feed.xml"

// Sitemap lists the pages for machines that look for them, and Robots leads there from the root of a host. Both hold whole addresses.
const (
	Sitemap = "sitemap.xml"
	Robots  = "robots.txt"
)

// CorrectionsFeed is the feed of the corrections, VehicleFeed that of what is said of a vehicle.
const CorrectionsFeed = "corrections/feed.xml"

// VehicleFeed is the feed of what is said of a vehicle.
func VehicleFeed(v *journal.Vehicle) string { return v.Slug + "/feed.xml" }

// Subject is the page of a subject, SubjectFeed the feed of what is about it; both by its name in an address.
func Subject(slug string) string { return "subjects/" + slug + "/index.html" }

// SubjectFeed is the feed of what is about a subject.
func SubjectFeed(slug string) string { return "subjects/" + slug + "/feed.xml" }

// Place is the page of a place that has a note.
func Place(p journal.Place) string { return p.Address() + "index.html" }

// Vehicle is the page of a vehicle.
func Vehicle(v *journal.Vehicle) string { return v.Slug + "/index.html" }

// Across is the page of a vehicle's versions held against each other.
func Across(v *journal.Vehicle) string { return v.Slug + "/across/index.html" }

// Version is the page of a version.
func Version(v *journal.Version) string { return v.Path() + "/index.html" }

// Wiring is the page of a version's wiring lead by lead.
func Wiring(v *journal.Version) string {
	return v.Path() + "/" + journal.WiringSlug + "/index.html"
}

// BenchSheet is the sheet for the bench of a version.
func BenchSheet(v *journal.Version) string {
	return v.Path() + "/" + journal.BenchSheetSlug + "/index.html"
}

// FirstPower is the page of a version's first power-up.
func FirstPower(v *journal.Version) string {
	return v.Path() + "/" + journal.FirstPowerSlug + "/index.html"
}

// Standing is the page of what a version answers by itself.
func Standing(v *journal.Version) string {
	return v.Path() + "/" + journal.AnswersSlug + "/index.html"
}

// Run is the page of a run.
func Run(r *journal.Run) string { return string(r.ID()) + "/index.html" }

// Note is the page of a note that stands beside the vehicles.
func Note(n *journal.NotePage) string { return "notes/" + n.Slug + "/index.html" }

// Question is the page of a question.
func Question(q *journal.NotePage) string { return "questions/" + q.Slug + "/index.html" }

// RunSheet is the form that a question's planned run is taken with.
func RunSheet(q *journal.NotePage) string {
	return "questions/" + q.Slug + "/run-sheet/index.html"
}

// Correction is the page of a correction.
func Correction(n *journal.NotePage) string { return "corrections/" + n.Slug + "/index.html" }

// MethodPages are where the documents of each kind stand.
var MethodPages = map[finding.Kind]string{finding.FormulaDoc: Method, finding.RuleDoc: Rules}

// BesideVersion is a file in the folder of a version's page.
func BesideVersion(v *journal.Version, file string) string {
	return path.Dir(Version(v)) + "/" + file
}

// VersionParts is the parts list as a table, with the heads that a journal's own parts.csv has.
func VersionParts(v *journal.Version) string { return v.Path() + "/" + journal.PartsFile }

// PartsTable is the table of all parts of the journal.
func PartsTable() string { return path.Dir(Parts) + "/" + journal.PartsFile }

// Predictions is the record of what is computed for a version.
func Predictions(v *journal.Version) string {
	return path.Dir(Version(v)) + "/" + PredictionsFile
}

// DataFile is where the points of a run's plot stand on the site.
func DataFile(run *journal.Run, name string) string {
	return path.Dir(Run(run)) + "/" + name + ".csv"
}

// EntryAnchor names an entry of the method page. A rule and the formula that it judges by may have one name.
func EntryAnchor(kind finding.Kind, name string) string { return string(kind) + "-" + name }

// RuleAddress is the page and the anchor that explain a rule.
func RuleAddress(name string) string { return Rules + "#" + EntryAnchor(finding.RuleDoc, name) }

// ResultAnchor is the anchor of a figure's line in the table of results.
func ResultAnchor(figure string) string { return "r-" + figure }

// ItemAnchor is the anchor of a part by its number on the photo and the drawing, PowerAnchor of the drawing of the power path, LeadAnchor of a
// lead in the cut list by its place in it, from 1, and PartAnchor of a part in the parts list.
func ItemAnchor(number int) string { return fmt.Sprintf("item-%d", number) }

// PowerAnchor is the anchor of the drawing of the power path; see ItemAnchor.
const PowerAnchor = "fig-power-path"

// LeadAnchor is the anchor of a lead in the cut list; see ItemAnchor.
func LeadAnchor(number int) string { return fmt.Sprintf("lead-%d", number) }

// PartAnchor is the anchor of a part in the parts list; see ItemAnchor.
func PartAnchor(name string) string { return "part-" + notes.Slug(name) }

// DrivingAnchor is the anchor of a figure of a drive on the version's page.
func DrivingAnchor(figure string) string { return "d-" + figure }

// FactAnchor is the anchor of a fact that a note states.
func FactAnchor(slug string) string { return "fact-" + slug }

// TakenBackAnchor is where the words of one place stand on its page.
func TakenBackAnchor(n *journal.NotePage, said *journal.Said) string {
	return fmt.Sprintf("taken-back-%s-%d", n.Slug, said.Number)
}

// MovedAnchor is where the page of a version says what was said for an answer before.
func MovedAnchor(n *journal.NotePage, m *journal.MovedAnswer) string {
	return "moved-" + n.Slug + "-" + strings.ReplaceAll(m.Of.Name, "/", "-")
}

// HeadingAnchor keeps the anchors of a maker's headings apart from those of the page.
func HeadingAnchor(id string) string { return "at-" + id }

// Relative is the path of one file of the site as seen from another, for links that work from disk too.
func Relative(from, to string) string {
	base := strings.Split(path.Dir(from), "/")
	if base[0] == "." {
		base = nil
	}
	target, fragment, found := strings.Cut(to, "#")
	parts := strings.Split(target, "/")
	for len(base) > 0 && len(parts) > 1 && base[0] == parts[0] {
		base, parts = base[1:], parts[1:]
	}
	rel := strings.Repeat("../", len(base)) + strings.Join(parts, "/")
	if target == from && found {
		rel = ""
	}
	if found {
		rel += "#" + fragment
	}
	return rel
}

// Escape writes a path of the site as a link has it.
func Escape(p string) string { return (&url.URL{Path: p}).EscapedPath() }

// NotAtRoot says why a site of that address does not stand at a host's root; "" where it does.
func NotAtRoot(address string) string {
	u, err := url.Parse(address)
	switch {
	case address == "" || err != nil:
		return "the journal does not say where its site will stand"
	case u.Scheme != "https":
		return "the site's address does not begin with https://"
	case strings.Trim(u.Path, "/") != "":
		return "the site does not stand at the root of " + u.Host
	}
	return ""
}
