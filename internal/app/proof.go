package app

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/url"
	"os"
	"os/signal"
	"path"
	"strconv"
	"strings"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/proof"
	"voltwright/internal/site"
)

// defaultPort is where a trial print is served if nothing else is said, so that a page that is open finds the next one.
const defaultPort = 8942

// betweenLooks is how often a journal is looked at for changes where the system does not tell of them. A change shows after
// two looks.
const betweenLooks = 250 * time.Millisecond

func newProof() *cobra.Command {
	port := defaultPort
	var kept func() means
	c := &cobra.Command{
		Use:   "proof [JOURNAL] [options]",
		Short: "Show the maker a trial print in the browser, set anew at every change",
		Long: `Proof serves the site as it would be published now, on this machine and to nobody
else. At the head of every sheet stands what inspection says of it, and on the front
page what is open of DANGER and WARNING across all vehicles, and which run would narrow
an answer most. When a file of the
journal changes, the next print is set and the pages that are open show it. Nothing
is written. While an error keeps a print from coming out, the last one stays.
JOURNAL is the folder that holds journal.yaml; content/ if none is named.`,
		Example: "  voltwright proof\n  voltwright proof ~/club/journal --port 9000",
		Args:    atMostOne("journal"),
		RunE: func(c *cobra.Command, args []string) error {
			ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
			defer stop()
			return serveProof(ctx, c.OutOrStdout(), c.ErrOrStderr(), kept(), journalArg(args), port, c.Flags().Changed("port"))
		},
		ValidArgsFunction: completeFolder,
	}
	kept = keeping(c)
	c.Flags().IntVar(&port, "port", port, "`NUMBER` of the port on this machine; 0 takes any that is free")
	return c
}

// serveProof serves trial prints until the context ends.
func serveProof(ctx context.Context, stdout, stderr io.Writer, m means, dir string, port int, asked bool) error {
	if port < 0 || port > 65535 {
		return usage("--port takes a number from 0 to 65535, not %d", port)
	}
	folder, err := openJournal(dir) // a folder that is no journal is told now, not in a browser
	if err != nil {
		return err
	}
	base := baseOf(journal.Load(folder, &finding.List{}))
	_ = folder.Close()
	l, err := listen(stderr, port, asked)
	if err != nil {
		return err
	}
	at := "http://" + l.Addr().String() + base
	desk := proof.Server{Base: base, Between: betweenLooks,
		Set:   func(early proof.Early) proof.Print { return setPrint(dir, m, early) },
		Looks: func() string { return looks(dir) }, Listen: func() (proof.Listener, error) { return proof.Listen(dir) },
		Told: func(c proof.Change) { tellChange(stdout, stderr, at, c) },
	}
	if err := desk.Serve(ctx, l); err != nil {
		return unreached(err)
	}
	fmt.Fprintln(stdout, "\nThe trial print is put away; nothing was written.")
	return nil
}

// listen takes a port on this machine. Where the usual one is taken and no other was asked for, any will do.
func listen(stderr io.Writer, port int, asked bool) (net.Listener, error) {
	at := func(port int) (net.Listener, error) { return net.Listen("tcp", "127.0.0.1:"+strconv.Itoa(port)) }
	l, err := at(port)
	if err == nil {
		return l, nil
	}
	if asked {
		return nil, unreached(fmt.Errorf("port %d cannot be used: %w; name another with --port, or 0 for any", port, reasonOf(err)))
	}
	if l, err = at(0); err != nil {
		return nil, unreached(err)
	}
	fmt.Fprintf(stderr, "Port %d is taken, so another one is used.\n", port)
	return l, nil
}

// reasonOf is what the system says of a call that failed, without what was called.
func reasonOf(err error) error {
	if e, ok := errors.AsType[syscall.Errno](err); ok {
		return e
	}
	return err
}

// baseOf is the path under which a journal's site will stand, so that a trial print stands under the same.
func baseOf(j *journal.Journal) string {
	if u, err := url.Parse(j.Address.Text); err == nil {
		return path.Clean("/"+strings.Trim(u.Path, "/")) + strings.Repeat("/", min(1, len(strings.Trim(u.Path, "/"))))
	}
	return "/"
}

// looks is a fingerprint of the journal's files. The folder is opened each time: it may have been moved away and another
// put in its place.
func looks(dir string) string {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return err.Error()
	}
	defer root.Close()
	return proof.Fingerprint(root.FS())
}

// setPrint makes a print of a journal as it stands. Pages are laid out unless the notes themselves have errors: a false
// sentence or an unanswered DANGER keeps a journal from being published, and has to be seen where it stands.
func setPrint(dir string, m means, early proof.Early) proof.Print {
	p := proof.Print{Rule: site.RuleAddress}
	defer m.line.end()
	in, err := readJournal(dir, m)
	if err != nil {
		p.Summary = "The journal could not be read."
		gone := finding.Finding{Rule: notes.RuleUnreadable, Level: finding.Error, Text: err.Error(), Remedy: "see that the folder is there and may be read."}
		if _, ok := errors.AsType[*notes.NoJournalError](err); ok {
			gone.Text, gone.Remedy = "there is no "+notes.JournalFile+" here any more", "put it back: it is what makes the folder a journal."
		}
		p.Remarks = []proof.Remark{{Subject: dir, Finding: gone}}
		return p
	}
	defer in.close()
	sound := in.findings.Count(finding.Error) == 0
	judge(in)
	in.findings.Add(toHeld(in)...)
	if sound {
		pages, err := lay(in, reopening(dir), early.Pages, func(pages *site.Pages, page string) {
			now := saidOf(in, p)
			now.Site = pages
			early.Show(now, page)
		}, func() (*site.Pages, error) { return printAfresh(dir) })
		if err != nil {
			in.findings.Add(finding.Finding{Rule: site.RuleTemplate, Level: finding.Error, Text: "no site could be made: " + err.Error()})
		} else {
			p.Site = pages
		}
	}
	return saidOf(in, p)
}

// printAfresh makes the pages of a journal as it stands without what is kept.
func printAfresh(dir string) (*site.Pages, error) {
	in, err := readJournal(dir, means{})
	if err != nil {
		return nil, err
	}
	defer in.close()
	judge(in)
	return lay(in, reopening(dir), nil, nil, nil)
}

// saidOf is a print with what inspection has said so far.
func saidOf(in *inspected, p proof.Print) proof.Print {
	p.Title, p.Language, p.Summary, p.Next = in.journal.Title.Text, in.journal.Language.Text, summary(in), openGains(in)
	for _, f := range in.findings.Sorted() {
		p.Remarks = append(p.Remarks, remarkOf(in.journal, f))
	}
	return p
}

// reopening opens a file of the journal in a folder that is opened for it, so that a print needs no folder to be kept open.
func reopening(dir string) func(string) (io.ReadCloser, error) {
	return func(name string) (io.ReadCloser, error) {
		folder, err := notes.Open(dir)
		if err != nil {
			return nil, err
		}
		defer folder.Close()
		return folder.OpenFile(name)
	}
}

// remarkOf says of what a finding speaks.
func remarkOf(j *journal.Journal, f finding.Finding) proof.Remark {
	r := proof.Remark{Finding: f, Subject: f.Span.File()}
	at, ok := j.PlaceOf(f.Span.File())
	if !ok {
		at, ok = ownerOf(j, f.Span.File())
	}
	switch {
	case f.Span.File() == "":
		r.Subject = "the journal"
	case !ok:
	case at.Run != nil:
		r.Subject = fmt.Sprintf("%s, version %d, %s", cmp.Or(at.Vehicle.Name.Text, at.Vehicle.Slug), at.Version.Number, cmp.Or(at.Run.Name.Text, at.Run.Slug))
	case at.Version != nil:
		r.Subject = fmt.Sprintf("%s, version %d", cmp.Or(at.Vehicle.Name.Text, at.Vehicle.Slug), at.Version.Number)
	case at.Vehicle != nil:
		r.Subject = at.Vehicle.Name.Text
	case at.Page != nil:
		r.Subject = at.Page.Title.Text
	}
	if strings.TrimSpace(r.Subject) == "" {
		r.Subject = f.Span.File()
	}
	r.Past = at.Version != nil && at.Version.Superseded()
	return r
}

// ownerOf finds the run of a log, and the version of a parts list.
func ownerOf(j *journal.Journal, file string) (journal.Place, bool) {
	for _, v := range j.Vehicles {
		for _, version := range v.Versions {
			if version.PartsSource == file {
				return version.Place(), true
			}
			for _, r := range version.Runs {
				if r.Log != nil && r.Log.Path == file {
					return r.Place(), true
				}
			}
		}
	}
	return journal.Place{}, false
}

// tellChange says on the terminal what a print brought: all of the first, of the others what came and what is gone.
func tellChange(stdout, stderr io.Writer, at string, c proof.Change) {
	news := c.Came
	if c.Number == 1 {
		for _, r := range c.Print.Remarks {
			if r.Level == finding.Error {
				news = append(news, r.Finding)
			}
		}
	}
	_ = finding.PrintLines(stderr, news)
	for _, f := range c.Gone {
		fmt.Fprintf(stderr, "gone: %s: %s [%s]\n", f.Span.File(), f.Text, f.Rule)
	}
	head := fmt.Sprintf("Trial print %d", c.Number)
	if c.Number == 1 {
		fmt.Fprintln(stdout, c.Print.Summary)
		fmt.Fprintf(stdout, "%s: %s\n", head, at)
		fmt.Fprintln(stdout, "It is set anew when a file of the journal changes. Ctrl-C puts it away.")
	} else {
		fmt.Fprintf(stdout, "%s. %s\n", head, c.Print.Summary)
	}
	switch {
	case c.Shown == 0:
		fmt.Fprintln(stdout, "No sheet comes out yet: the pages show what is to be mended.")
	case c.Shown != c.Number:
		fmt.Fprintf(stdout, "It does not come out: the pages show print %d, and above it what is to be mended.\n", c.Shown)
	}
}
