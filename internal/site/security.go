package site

import (
	"fmt"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/site/address"
	"voltwright/internal/site/reading"
)

// The rules of findings about whom to tell of a hole in the site.
const (
	RuleSecurityExpiry = "security-expiry"
	RuleSecurityPlace  = "security-place"
)

// securityFile is where RFC 9116 has a site say whom to tell of a hole in it, at the root of its host.
const securityFile = ".well-known/security.txt"

// securityText writes securityFile where the maker states an address and a day of expiry and the site stands at a host's root.
func securityText(rd *reading.Reader) error {
	s, j := rd.Journal.Security, rd.Journal
	if s == nil || !s.Contact.Set || !s.Expires.Set {
		return nil
	}
	judgeExpiry(rd, s.Expires)
	if why := address.NotAtRoot(j.Address.Text); why != "" {
		rd.Raised.Add(finding.Finding{Rule: RuleSecurityPlace, Level: finding.Warning, Span: s.Span,
			Text:   fmt.Sprintf("%s is not written: %s", securityFile, why),
			Remedy: "it is only looked for at the root of a host under https: put one there by hand, and take `security` out, or let the site stand there and state it with `address`."})
		return nil
	}
	var text strings.Builder
	fmt.Fprintf(&text, "Contact: %s\nExpires: %sT00:00:00Z\nCanonical: %s\n", s.Contact.Text, s.Expires, j.Addressed(securityFile))
	if j.Language.Set {
		fmt.Fprintf(&text, "Preferred-Languages: %s\n", j.Language.Text)
	}
	return rd.Pages.Put(securityFile, []byte(text.String()))
}

// judgeExpiry holds the day of expiry against the newest note: the program knows no other day, so that the same journal makes
// the same site.
func judgeExpiry(rd *reading.Reader, expires notes.Date) {
	newest := rd.NewestOfAll()
	if !newest.Set {
		return
	}
	f := finding.Finding{Rule: RuleSecurityExpiry, Level: finding.Warning, Span: expires.Span}
	switch ends, last := expires.Time(), newest.Time(); {
	case !ends.After(last):
		f.Text = fmt.Sprintf("`security.expires`: %s has passed: the newest note is of %s", expires, newest)
		f.Remedy = "see that the address is still read, and write a day less than a year ahead."
	case ends.After(last.AddDate(1, 0, 0)):
		f.Text = fmt.Sprintf("`security.expires`: %s is more than a year after the newest note, of %s", expires, newest)
		f.Remedy = "write a day less than a year from now; the older a stated address is, the likelier it is read by nobody."
	default:
		return
	}
	rd.Raised.Add(f)
}

var (
	securityExpiryDoc = finding.Doc{Kind: finding.RuleDoc, Name: RuleSecurityExpiry, Level: finding.Warning, Title: "A security contact that has expired, or expires too late",
		What:    "Holds `security.expires` against the date of the newest note: it should lie behind it, by a year at most. The day on which the site is made is not looked at.",
		Why:     "Whoever finds a hole writes to the address that is there; after its day they must not rely on it, and a day far ahead outlives the address.",
		Source:  "RFC 9116, A File Format to Aid in Security Vulnerability Disclosure, 2.5.5",
		Example: "  security: {contact: \"mailto:shed@example.org\", expires: 2027-03-31}"}
	securityPlaceDoc = finding.Doc{Kind: finding.RuleDoc, Name: RuleSecurityPlace, Level: finding.Warning, Title: "A security contact that has no place on the site",
		What:    "Looks whether the journal's `address` begins with https:// and has no path: only then .well-known/security.txt is written.",
		Why:     "It is looked for at the root of a host and nowhere else; below it, it would be found by nobody, and the host's own says whom to tell.",
		Source:  "RFC 9116, A File Format to Aid in Security Vulnerability Disclosure, 3",
		Example: "  address: https://example.org/"}
)
