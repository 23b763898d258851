package main_test

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"voltwright/internal/app"
	"voltwright/internal/measuredjournal"
)

// The behaviour of every command is written down as scripts: an input folder,
// a command, its whole output and its exit status, in testdata/script. To write
// the outputs anew: VOLTWRIGHT_UPDATE=1 go test ./cmd/voltwright, and read the
// difference.
func TestScripts(t *testing.T) {
	repo, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		UpdateScripts:       os.Getenv("VOLTWRIGHT_UPDATE") != "",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(env *testscript.Env) error {
			env.Setenv("REPO", repo)
			measured := filepath.Join(env.WorkDir, ".measured") // no script's own
			env.Setenv("MEASURED", measured)
			return measuredjournal.LayOut(measured)
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"status": status,
			"wants":  wants,
			"same":   sameBytes,
			"sarif":  sarif,
		},
	})
}

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"voltwright": func() { os.Exit(app.Main(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) },
	})
}

// status runs a command and checks its exit status, whatever it is:
//
//	status 2 inspect --format xml
//
// Its output is then compared as after exec.
func status(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: status N ARGUMENT...")
	}
	got := 0
	if err := ts.Exec("voltwright", args[1:]...); err != nil {
		exit, ok := errors.AsType[*exec.ExitError](err)
		if !ok {
			ts.Fatalf("%v", err)
		}
		got = exit.ExitCode()
	}
	if fmt.Sprint(got) != args[0] {
		ts.Fatalf("exit status %d, want %s", got, args[0])
	}
}

// sarif holds what the last command printed against the JSON schema of OASIS SARIF 2.1.0:
//
//	sarif stdout
func sarif(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: sarif FILE")
	}
	schema, err := jsonschema.NewCompiler().Compile(filepath.Join(ts.Getenv("REPO"), "internal/finding/testdata/sarif/sarif-schema-2.1.0.json"))
	ts.Check(err)
	log, err := jsonschema.UnmarshalJSON(strings.NewReader(ts.ReadFile(args[0])))
	ts.Check(err)
	ts.Check(schema.Validate(log))
}

var wantMark = regexp.MustCompile(`want(-file)?( [^ :]+)?: ([a-z-]+)`)

// wants inspects a journal and holds its findings against the marks in its
// files: `# want: rule` stands on the line that the finding points to,
// `# want-file: rule` anywhere in a file that is meant as a whole, and
// `want-file PATH: rule` in another, for a file that can hold no mark. Every
// mark must be found and every finding marked.
func wants(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: wants JOURNAL")
	}
	dir := ts.MkAbs(args[0])
	want, err := marks(dir)
	ts.Check(err)
	_ = ts.Exec("voltwright", "inspect", "--format", "json", dir) // findings are expected, and with them the exit status
	var got struct {
		Findings []struct {
			Rule, Text string
			Place      struct {
				File string
				Line int
			}
		}
	}
	if err := json.Unmarshal([]byte(ts.ReadFile("stdout")), &got); err != nil {
		ts.Fatalf("inspect printed no JSON: %v\n%s", err, ts.ReadFile("stderr"))
	}
	var said []string
	text := map[string]string{}
	for _, f := range got.Findings {
		mark := fmt.Sprintf("%s:%d %s", f.Place.File, f.Place.Line, f.Rule)
		said = append(said, mark)
		text[mark] = f.Text
	}
	slices.Sort(want)
	slices.Sort(said)
	want, said = slices.Compact(want), slices.Compact(said)
	failed := false
	for _, w := range want {
		if !slices.Contains(said, w) {
			ts.Logf("not found: %s", w)
			failed = true
		}
	}
	for _, s := range said {
		if !slices.Contains(want, s) {
			ts.Logf("not wanted: %s: %s", s, text[s])
			failed = true
		}
	}
	if failed {
		ts.Fatalf("the findings are not those that the files mark")
	}
	if len(want) == 0 {
		ts.Fatalf("%s marks no finding: the comparison would prove nothing", args[0])
	}
}

func marks(dir string) ([]string, error) {
	var all []string
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || !d.Type().IsRegular() {
			return err
		}
		file, err := os.Open(path)
		if err != nil {
			return err
		}
		defer file.Close()
		rel, err := filepath.Rel(dir, path)
		if err != nil {
			return err
		}
		lines := bufio.NewScanner(file)
		for n := 1; lines.Scan(); n++ {
			for _, m := range wantMark.FindAllStringSubmatch(lines.Text(), -1) {
				file, line := filepath.ToSlash(rel), n
				if m[1] != "" {
					line = 0
				}
				if m[2] != "" {
					file = m[2][1:]
				}
				all = append(all, fmt.Sprintf("%s:%d %s", file, line, m[3]))
			}
		}
		return lines.Err()
	})
	return all, err
}

// sameBytes compares two folders, byte for byte and name for name.
func sameBytes(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 2 {
		ts.Fatalf("usage: same FOLDER FOLDER")
	}
	a, err := contents(ts.MkAbs(args[0]))
	ts.Check(err)
	b, err := contents(ts.MkAbs(args[1]))
	ts.Check(err)
	if len(a) == 0 {
		ts.Fatalf("%s holds no file", args[0])
	}
	var differ []string
	for name, text := range a {
		if b[name] != text {
			differ = append(differ, name)
		}
	}
	for name := range b {
		if _, ok := a[name]; !ok {
			differ = append(differ, name)
		}
	}
	slices.Sort(differ)
	if same := len(differ) == 0; same == neg {
		ts.Fatalf("same: %v; files that differ: %v", same, differ)
	}
}

func contents(dir string) (map[string]string, error) {
	all := map[string]string{}
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(dir, path)
		all[rel] = string(text)
		return err
	})
	return all, err
}
