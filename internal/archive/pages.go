package archive

import (
	"bytes"
	"io"
	"net/url"
	"path"
	"slices"
	"strings"

	"golang.org/x/net/html"
)

// pages adds the site's files: all that lies under the version's page, the pages of the method, what pages share, and
// whatever else one of the pages shows. Pages that stay behind are named by links that leave the bag.
func (m *maker) pages() error {
	m.kept = map[string]bool{}
	for _, p := range m.Paths {
		if strings.HasPrefix(p, m.Version.Path()+"/") || strings.HasPrefix(p, m.Shared+"/") || slices.Contains(m.Method, p) {
			m.kept[p] = true
		}
	}
	texts := map[string][]byte{}
	for p := range m.kept {
		if path.Ext(p) != ".html" {
			continue
		}
		text, err := m.site(p)
		if err != nil {
			return err
		}
		texts[p] = text
		for _, shown := range m.shown(p, text) {
			m.kept[shown] = true
		}
	}
	for p := range m.kept {
		text, page := texts[p]
		var err error
		if page {
			err = m.bag.putBytes(siteFolder+"/"+p, m.relink(p, text))
		} else {
			err = m.bag.put(siteFolder+"/"+p, func() (io.ReadCloser, error) { return m.Site(p) })
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// shows are the attributes by which an element shows another file; a link shows it where its rel is one of shownBy.
var shows = map[string][]string{
	"img": {"src", "srcset"}, "source": {"src", "srcset"}, "video": {"src", "poster"}, "audio": {"src"}, "script": {"src"},
	"object": {"data"}, "embed": {"src"}, "image": {"href"}, "use": {"href"}, "input": {"src"}, "track": {"src"},
}

var shownBy = []string{"stylesheet", "icon", "preload", "modulepreload", "manifest"}

// shown lists the files of the site that a page shows, other than pages.
func (m *maker) shown(page string, text []byte) []string {
	var all []string
	z := html.NewTokenizer(bytes.NewReader(text))
	for z.Next() != html.ErrorToken {
		t := z.Token()
		if t.Type != html.StartTagToken && t.Type != html.SelfClosingTagToken {
			continue
		}
		for _, a := range t.Attr {
			if !slices.Contains(shows[t.Data], a.Key) && !(t.Data == "link" && a.Key == "href" && linksToShown(t)) {
				continue
			}
			for _, ref := range strings.Split(a.Val, ",") {
				ref, _, _ = strings.Cut(strings.TrimSpace(ref), " ") // of a srcset: the address before the width
				if to, _, local := target(page, ref); local && m.has[to] && path.Ext(to) != ".html" {
					all = append(all, to)
				}
			}
		}
	}
	return all
}

func linksToShown(t html.Token) bool {
	for _, a := range t.Attr {
		if a.Key == "rel" {
			return slices.ContainsFunc(strings.Fields(a.Val), func(rel string) bool { return slices.Contains(shownBy, rel) })
		}
	}
	return false
}

// target is the file of the site that a reference of a page leads to; local is false for one that leads elsewhere or
// stays on the page.
func target(page, ref string) (file string, u *url.URL, local bool) {
	u, err := url.Parse(ref)
	if err != nil || u.Scheme != "" || u.Host != "" || u.Path == "" || strings.HasPrefix(u.Path, "/") {
		return "", u, false
	}
	file = path.Join(path.Dir(page), u.Path)
	if strings.HasSuffix(u.Path, "/") || file == "." {
		file = path.Join(file, "index.html")
	}
	return file, u, true
}

// relink makes the links of a page that lead to what the bag does not have lead to the journal's address instead. Where
// the journal states none they are no links any more, and say what they led to. All else stays byte for byte.
func (m *maker) relink(page string, text []byte) []byte {
	var out bytes.Buffer
	z := html.NewTokenizer(bytes.NewReader(text))
	for z.Next() != html.ErrorToken {
		raw := slices.Clone(z.Raw())
		t := z.Token()
		if t.Type == html.StartTagToken || t.Type == html.SelfClosingTagToken {
			if changed, drop := m.leave(page, &t); drop {
				continue
			} else if changed {
				out.WriteString(t.String())
				continue
			}
		}
		out.Write(raw)
	}
	return out.Bytes()
}

// leave changes a tag whose link leaves the bag; drop says that it is of no use there.
func (m *maker) leave(page string, t *html.Token) (changed, drop bool) {
	at := slices.IndexFunc(t.Attr, func(a html.Attribute) bool {
		return a.Key == "href" && (t.Data == "a" || t.Data == "area" || t.Data == "link") || a.Key == "action" && t.Data == "form"
	})
	if at < 0 {
		return false, false
	}
	to, u, local := target(page, t.Attr[at].Val)
	if !local || m.kept[to] {
		return false, false
	}
	if absolute := m.address(strings.TrimSuffix(to, "index.html")); absolute != "" {
		if u.RawQuery != "" {
			absolute += "?" + u.RawQuery
		}
		if u.Fragment != "" {
			absolute += "#" + u.EscapedFragment()
		}
		t.Attr[at].Val = absolute
		return true, false
	}
	if t.Data == "link" {
		return true, true
	}
	t.Attr = slices.DeleteFunc(t.Attr, func(a html.Attribute) bool {
		return slices.Contains([]string{"href", "action", "rel", "download", "target", "title"}, a.Key)
	})
	t.Attr = append(t.Attr, html.Attribute{Key: "title", Val: "Not in this bag: " + to + " of the journal"})
	return true, false
}
