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
)

// Across is the page of a vehicle's versions held against each other.
func Across(v *journal.Vehicle) string { return v.Slug + "/across/index.html" }

// benchSheetSlug is the name of the page below its version, which no run may have.
const benchSheetSlug = journal.BenchSheetSlug

// BenchSheet is the sheet for the bench of a version.
func BenchSheet(v *journal.Version) string {
	return v.Path() + "/" + benchSheetSlug + "/index.html"
}

// DataFile is where the points of a run's plot stand on the site.
func DataFile(run *journal.Run, name string) string {
	return path.Dir(Run(run)) + "/" + name + ".csv"
}

// CitationFile is how a run is cited, as plain text beside its page.
const CitationFile = "citation.txt"

// Corrections is the page that lists what was taken back.
const Corrections = "corrections/index.html"

// Correction is the page of a correction.
func Correction(n *journal.NotePage) string { return "corrections/" + n.Slug + "/index.html" }

// TakenBackAnchor is where the words of one place stand on its page.
func TakenBackAnchor(n *journal.NotePage, said *journal.Said) string {
	return fmt.Sprintf("taken-back-%s-%d", n.Slug, said.Number)
}

// BesideVersion is a file in the folder of a version's page.
func BesideVersion(v *journal.Version, file string) string {
	return path.Dir(Version(v)) + "/" + file
}

// DrivingAnchor is the anchor of a figure of a drive on the version's page.
func DrivingAnchor(figure string) string { return "d-" + figure }

// ResultAnchor is the anchor of a figure's line in the table of results.
func ResultAnchor(figure string) string { return "r-" + figure }

// FeedFile is the journal's feed: Atom, RFC 4287. A journal that states no address has none, as an entry must have an
// address of its own.
const FeedFile = "feed.xml"

// PredictionsFile is the record of what is computed for a version, beside its page.
const PredictionsFile = "predictions.json"

// Predictions is the record of what is computed for a version.
func Predictions(v *journal.Version) string {
	return path.Dir(Version(v)) + "/" + PredictionsFile
}

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

// VersionParts is the parts list as a table, with the heads that a journal's own parts.csv has.
func VersionParts(v *journal.Version) string { return v.Path() + "/" + journal.PartsFile }

// PartsTable is the table of all parts of the journal.
func PartsTable() string { return path.Dir(Parts) + "/" + journal.PartsFile }

// Parts is the page of all parts, and where each is used.
const Parts = "parts/index.html"

// ReboundPlot is the enlarged plot of the voltage about the opening of the cutout, with its rebound.
const ReboundPlot = "cutout"

// PredictionPlot is the plot of a run's voltage beside the one predicted by what had not seen the run.
const PredictionPlot = "prediction"

// HeadingAnchor keeps the anchors of a maker's headings apart from those of the page.
func HeadingAnchor(id string) string { return "at-" + id }

// Pages of the questions.
const (
	Questions   = "questions/index.html"
	sheetFolder = "run-sheet"
)

// Note is the page of a note that stands beside the vehicles.
func Note(n *journal.NotePage) string { return "notes/" + n.Slug + "/index.html" }

// Question is the page of a question.
func Question(q *journal.NotePage) string { return "questions/" + q.Slug + "/index.html" }

// RunSheet is the form that a question's planned run is taken with.
func RunSheet(q *journal.NotePage) string {
	return "questions/" + q.Slug + "/" + sheetFolder + "/index.html"
}

// MethodPages are where the documents of each kind stand.
var MethodPages = map[finding.Kind]string{finding.FormulaDoc: Method, finding.RuleDoc: Rules}

// ResultsFile is the record of a run's results, beside its page.
const ResultsFile = "results.json"

// The search page, and the index that it asks. The index stands beside the page and not among the shared files, so that
// it stays behind where some of the pages are taken elsewhere.
const (
	Search      = "search/index.html"
	SearchIndex = "search/index.js"
)

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

// Paths of the pages that every site has.
const (
	Front    = "index.html"
	Method   = "method/index.html"       // the formulas
	Rules    = "method/rules/index.html" // the rules of inspection
	Glossary = "glossary/index.html"
	Missing  = "404.html"

	Published = "published/index.html"
)

// Vehicle is the page of a vehicle.
func Vehicle(v *journal.Vehicle) string { return v.Slug + "/index.html" }

// Version is the page of a version.
func Version(v *journal.Version) string { return v.Path() + "/index.html" }

// Run is the page of a run.
func Run(r *journal.Run) string { return string(r.ID()) + "/index.html" }

// Escape writes a path of the site as a link has it.
func Escape(p string) string { return (&url.URL{Path: p}).EscapedPath() }

// EntryAnchor names an entry of the method page. A rule and the formula that it judges by may have one name.
func EntryAnchor(kind finding.Kind, name string) string { return string(kind) + "-" + name }

// RuleAddress is the page and the anchor that explain a rule.
func RuleAddress(name string) string { return Rules + "#" + EntryAnchor(finding.RuleDoc, name) }

// FactAnchor is the anchor of a fact that a note states.
func FactAnchor(slug string) string { return "fact-" + slug }

// Wiring is the page of a version's wiring lead by lead.
func Wiring(v *journal.Version) string {
	return v.Path() + "/" + journal.WiringSlug + "/index.html"
}
