package site

import (
	"encoding/xml"
	"net/url"
	"path"
	"strings"

	"voltwright/internal/notes"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// mostMapped is how many pages a sitemap may list (sitemaps.org, Sitemaps XML format).
const mostMapped = 50_000

type sitemapFile struct {
	XMLName xml.Name     `xml:"http://www.sitemaps.org/schemas/sitemap/0.9 urlset"`
	Pages   []mappedPage `xml:"url"`
}

type mappedPage struct {
	At      string `xml:"loc"`
	Changed string `xml:"lastmod,omitempty"`
}

// forCrawlers writes the sitemap, and robots.txt that leads to it. Both need whole addresses, so a journal that states none has neither;
// robots.txt is only looked for at the root of a host (RFC 9309, 2.3), so a site that stands below one has none.
func forCrawlers(rd *reading.Reader) error {
	j := rd.Journal
	if !j.Address.Set || len(rd.Plans) > mostMapped {
		return nil
	}
	var file sitemapFile
	changed := changes(rd)
	for _, p := range rd.Plans {
		if p.Sheet.Path == address.Missing {
			continue
		}
		page := mappedPage{At: rd.Address(p.Sheet.Path)}
		if d := lastChange(changed, p.Sheet.Path); d.Set {
			page.Changed = d.String()
		}
		file.Pages = append(file.Pages, page)
	}
	text, err := xml.MarshalIndent(file, "", " ")
	if err != nil {
		return err
	}
	if err := rd.Pages.Put(address.Sitemap, append([]byte(xml.Header), append(text, '\n')...)); err != nil {
		return err
	}
	if at, err := url.Parse(j.Address.Text); err != nil || strings.Trim(at.Path, "/") != "" {
		return nil
	}
	return rd.Pages.Put(address.Robots, []byte("User-agent: *\nAllow: /\nSitemap: "+j.Addressed(address.Sitemap)+"\n"))
}

// changes are the newest dates of what stands in each folder of the site and below it, by the dates of notes and of the corrections of them.
func changes(rd *reading.Reader) map[string]notes.Date {
	newest := map[string]notes.Date{}
	add := func(page, note string, dates ...notes.Date) {
		if at, ok := rd.Journal.PlaceOf(note); ok {
			for _, n := range rd.Journal.CorrectionsOf(at) {
				dates = append(dates, n.Date)
			}
		}
		for folder := path.Dir(page); ; folder = path.Dir(folder) {
			newest[folder] = frame.Newest(append(dates, newest[folder])...)
			if folder == "." {
				return
			}
		}
	}
	for _, v := range rd.Journal.Vehicles {
		add(address.Vehicle(v), v.Note.Path)
		for _, version := range v.Versions {
			add(address.Version(version), version.Note.Path, version.Date)
			for _, r := range version.Runs {
				add(address.Run(r), r.Note.Path, r.Date)
			}
		}
	}
	for _, n := range rd.Journal.Notes {
		add(address.Note(n), n.Note.Path, n.Date)
	}
	for _, n := range rd.Journal.Questions {
		add(address.Question(n), n.Note.Path, n.Date, rd.ChangedOn(n))
	}
	for _, n := range rd.Journal.Corrections {
		add(address.Correction(n), n.Note.Path, n.Date)
	}
	return newest
}

// lastChange is the newest change of a page and of what stands in its folder, as a version's page tells of its runs; of a page that no note
// with a date stands in the folder of, such as a bench sheet, that of the folder above.
func lastChange(newest map[string]notes.Date, page string) notes.Date {
	folder := path.Dir(page)
	for folder != "." && !newest[folder].Set {
		folder = path.Dir(folder)
	}
	return newest[folder]
}
