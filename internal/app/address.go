package app

import (
	"fmt"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/site"
)

const ruleAddressGone = "address-gone"

var addressDoc = finding.Doc{
	Kind: finding.RuleDoc, Name: ruleAddressGone, Level: finding.Error,
	Title: "A published version would lose its address",
	What:  "When a site is published over the one before, looks for versions whose pages stand there and are not on the new one. Inspection, which knows no site, cannot find it, and a site that shares no vehicle with the new one is taken for another journal's.",
	Why:   "Readers, citations and bags lead to the address of a version; a version is kept when another takes its place, and its page says what followed.",
}

// keepAddresses finds the versions whose pages would be gone from the site in dir.
func keepAddresses(in *inspected, pages *site.Pages, dir string, removed []string) error {
	if pages == nil { // not written anyway
		return nil
	}
	gone, err := site.Gone(dir, pages)
	if err != nil {
		return err
	}
	for _, version := range gone {
		if slices.ContainsFunc(removed, func(l string) bool { return strings.Trim(l, "/") == version }) {
			continue
		}
		in.findings.Add(finding.Finding{Rule: ruleAddressGone, Level: finding.Error,
			Text:   fmt.Sprintf("the page of %s stands on the site in %s and would be gone from it", version, dir),
			Remedy: fmt.Sprintf("give the version's folder that name back; or, if the page is to go, publish with --allow-removed %s.", version)})
	}
	return nil
}
