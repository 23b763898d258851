package whole

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// childFolder names, to this test's own binary run again, the folder that it writes.
const childFolder = "VOLTWRIGHT_TEST_CHILD_FOLDER"

func TestMain(m *testing.M) {
	if dir := os.Getenv(childReplace); dir != "" {
		replaceUntilKilled(dir)
	}
	dir := os.Getenv(childFolder)
	if dir == "" {
		os.Exit(m.Run())
	}
	if err := Folder(dir, paths(), opened(nil)); err != nil {
		fmt.Println("failed:", err)
		os.Exit(1)
	}
	fmt.Println("wrote")
}

const files = 60

func paths() []string {
	var all []string
	for i := range files {
		all = append(all, fmt.Sprintf("%d/%d.txt", i%4, i))
	}
	return all
}

func opened(err error) func(string) (io.ReadCloser, error) {
	return func(name string) (io.ReadCloser, error) {
		if err != nil && name == paths()[files/2] {
			return nil, err
		}
		return io.NopCloser(bytes.NewReader(bytes.Repeat([]byte(name+"\n"), 400))), nil
	}
}

func names(t *testing.T, dir string) string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var all []string
	for _, e := range entries {
		all = append(all, e.Name())
	}
	return strings.Join(all, " ")
}

func complete(t *testing.T, dir string) {
	t.Helper()
	for _, name := range paths() {
		text, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil || len(text) != 400*len(name+"\n") {
			t.Fatalf("%s: %d bytes, %v", name, len(text), err)
		}
	}
}

func TestFolderIsWrittenOnce(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, "bag")
	if err := os.Mkdir(dir, 0o755); err != nil { // an empty one is as good as none
		t.Fatal(err)
	}
	if err := Folder(dir, paths(), opened(nil)); err != nil {
		t.Fatal(err)
	}
	complete(t, dir)
	if err := Folder(dir, paths(), opened(nil)); !errors.Is(err, ErrTaken) {
		t.Errorf("a second write gave %v", err)
	}
	if err := Folder(filepath.Join(dir, "0", "0.txt"), paths(), opened(nil)); !errors.Is(err, ErrTaken) {
		t.Errorf("over a file: %v", err)
	}
	if got := names(t, parent); got != "bag" {
		t.Errorf("the folder above holds %s", got)
	}
	complete(t, dir)
}

func TestFailureLeavesNothing(t *testing.T) {
	parent, broken := t.TempDir(), errors.New("broken")
	if err := Folder(filepath.Join(parent, "bag"), paths(), opened(broken)); !errors.Is(err, broken) {
		t.Fatalf("gave %v", err)
	}
	if got := names(t, parent); got != "" {
		t.Errorf("left %s", got)
	}
	for _, bad := range []string{"../out.txt", "/out.txt", "a//b", "."} {
		if err := Folder(filepath.Join(parent, "bag"), []string{bad}, opened(nil)); err == nil {
			t.Errorf("%q was written", bad)
		}
	}
	if got := names(t, parent); got != "" {
		t.Errorf("left %s", got)
	}
}

// A process that is killed leaves all or nothing, and the next one clears up.
func TestKilledFolderLeavesAllOrNothing(t *testing.T) {
	const kills = 12
	half := 0
	for kill := range kills {
		parent := t.TempDir()
		dir := filepath.Join(parent, "bag")
		child := exec.Command(os.Args[0])
		child.Env = append(os.Environ(), childFolder+"="+dir)
		if err := child.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Duration(8+4*kill) * time.Millisecond)
		if err := child.Process.Kill(); err != nil && !errors.Is(err, os.ErrProcessDone) {
			t.Fatal(err)
		}
		_ = child.Wait()
		left := names(t, parent)
		if _, err := os.Stat(dir); err == nil {
			complete(t, dir)
			continue
		}
		if left != "" {
			half++
		}
		if err := Folder(dir, paths(), opened(nil)); err != nil {
			t.Fatalf("after kill %d, which left %q: %v", kill, left, err)
		}
		complete(t, dir)
		if got := names(t, parent); got != "bag" {
			t.Errorf("left beside it: %s", got)
		}
	}
	if half == 0 {
		t.Error("no kill came while a folder was being written")
	}
}

// What this program did not write is not cleared away, whatever it is called.
func TestForeignLeftoverStays(t *testing.T) {
	for _, file := range []string{"thesis.txt", unfinishedFile} {
		parent := t.TempDir()
		next := filepath.Join(parent, ".bag.voltwright-new")
		if err := os.Mkdir(next, 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(next, file), []byte("ten years of work"), 0o644); err != nil {
			t.Fatal(err)
		}
		if err := Folder(filepath.Join(parent, "bag"), paths(), opened(nil)); !errors.Is(err, ErrTaken) {
			t.Errorf("%s: gave %v", file, err)
		}
		if got := names(t, next); got != file {
			t.Errorf("left %q of %s", got, file)
		}
	}
}

func TestFileIsWrittenOnce(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "run.md")
	if err := File(name, []byte("one")); err != nil {
		t.Fatal(err)
	}
	if err := File(name, []byte("two")); !errors.Is(err, ErrTaken) {
		t.Errorf("a second write gave %v", err)
	}
	if text, err := os.ReadFile(name); err != nil || string(text) != "one" {
		t.Errorf("the file says %q, %v", text, err)
	}
	if got := names(t, dir); got != "run.md" {
		t.Errorf("the folder holds %s", got)
	}
}
