//go:build unix

package app

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"
	"unicode"
)

// childCommand tells this test's own binary, run again, to be the command. What it says beside are limits of the process:
// `file=BYTES` bounds the length of what it writes, `user=N` gives its rights to a user who owns nothing.
const childCommand = "VOLTWRIGHT_TEST_CHILD_COMMAND"

func init() { asChild = beChild }

// beChild is the command where this process was asked to be it.
func beChild() {
	if limits, ok := os.LookupEnv(childCommand); ok {
		for limit := range strings.FieldsSeq(limits) {
			if err := confine(limit); err != nil {
				fmt.Println(err)
				os.Exit(99)
			}
		}
		status := Run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
		if os.Getenv(childPeak) != "" {
			tellPeak(os.NewFile(3, "peak"))
		}
		os.Exit(status)
	}
}

// childPeak asks a child to say on its third file how much memory it had at the most. What the system tells the parent holds on
// Linux what the parent itself had when it made the child, which is more than any command takes.
const childPeak = "VOLTWRIGHT_TEST_CHILD_PEAK"

// highWater is the system's own line about a process's memory.
const highWater = "VmHWM:"

func tellPeak(to *os.File) {
	text, err := os.ReadFile("/proc/self/status")
	if err != nil {
		return
	}
	for line := range strings.Lines(string(text)) {
		if kib, ok := strings.CutPrefix(line, highWater); ok {
			fmt.Fprint(to, strings.Fields(kib)[0])
		}
	}
}

func confine(limit string) error {
	what, number, _ := strings.Cut(limit, "=")
	n, err := strconv.Atoi(number)
	switch {
	case err != nil:
		return err
	case what == "file":
		signal.Ignore(syscall.SIGXFSZ) // a write fails then, as on a full disc
		return syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: uint64(n), Max: uint64(n)})
	case what == "user":
		return errors.Join(syscall.Setgroups(nil), syscall.Setgid(n), syscall.Setuid(n))
	}
	return fmt.Errorf("%s is no limit", what)
}

// A child is the command in a process of its own.
type child struct {
	dir    string // it runs here, and keeps its store here
	limits string
	stdin  io.Reader
	most   time.Duration // it is killed after so long; two minutes if nothing is said
}

// ended is what came of a child.
type ended struct {
	status         int // -1 where it was killed
	stdout, stderr string
	peak           int64 // bytes in memory at the most
	took           time.Duration
}

// all is what it printed.
func (e ended) all() string { return e.stdout + e.stderr }

// run runs the command to its end. What no command may do, whatever it is given, is a failure here: to fall over, to say nothing, to
// go on without end, to print what a terminal would obey, to take more memory than a journal may ask for.
func (c child) run(t *testing.T, args ...string) ended {
	t.Helper()
	if c.most == 0 {
		c.most = 2 * time.Minute
	}
	ctx, cancel := context.WithTimeout(context.Background(), c.most)
	defer cancel()
	cmd := c.command(ctx, args...)
	var stdout, stderr bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	peak, told, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer peak.Close()
	cmd.ExtraFiles, cmd.Env = []*os.File{told}, append(cmd.Env, childPeak+"=yes")
	begun := time.Now()
	err = cmd.Run()
	told.Close()
	e := ended{status: cmd.ProcessState.ExitCode(), stdout: stdout.String(), stderr: stderr.String(), took: time.Since(begun)}
	if use, ok := cmd.ProcessState.SysUsage().(*syscall.Rusage); ok {
		e.peak = int64(use.Maxrss) * maxrssUnit
	}
	if said, err := io.ReadAll(peak); err == nil && len(said) > 0 {
		kib, err := strconv.ParseInt(string(said), 10, 64)
		if err != nil {
			t.Fatal(err)
		}
		e.peak = kib << 10
	} else if _, err := os.Stat("/proc/self/status"); err == nil {
		e.peak = 0 // it was killed
	}
	if e.status >= 0 && e.peak == 0 {
		t.Errorf("%q did not tell how much memory it took", args)
	}
	if exit, ok := errors.AsType[*exec.ExitError](err); err != nil && !ok {
		t.Fatal(err)
	} else if ok && exit.ExitCode() < 0 || ctx.Err() != nil {
		t.Errorf("%q did not end within %v: %v", args, c.most, err)
	}
	for _, sign := range []string{"panic", "goroutine ", "runtime error", "fatal error:", ".go:"} {
		if strings.Contains(e.all(), sign) {
			t.Errorf("%q fell over: %s", args, clipped(e.all()[max(0, strings.Index(e.all(), sign)-40):]))
		}
	}
	if i := strings.IndexFunc(e.all(), unseen); i >= 0 {
		t.Errorf("%q printed %q", args, e.all()[max(0, i-30):min(len(e.all()), i+10)])
	}
	if e.peak > mostMemory {
		t.Errorf("%q took %d MiB", args, e.peak>>20)
	}
	if len(e.all()) > mostSaid {
		t.Errorf("%q said %d MiB", args, len(e.all())>>20)
	}
	return e
}

const (
	mostMemory = 512 << 20
	mostSaid   = 8 << 20
)

func (c child) command(ctx context.Context, args ...string) *exec.Cmd {
	cmd := exec.CommandContext(ctx, os.Args[0], args...)
	cmd.Env = append(os.Environ(), childCommand+"="+c.limits, "XDG_CACHE_HOME="+filepath.Join(c.dir, "cache"))
	cmd.Dir, cmd.Stdin = c.dir, c.stdin
	return cmd
}

// unseen are characters that a terminal obeys, or that change how others stand (Unicode's categories Cc and Cf), but for
// those that letters of some languages are joined by.
func unseen(r rune) bool {
	return unicode.In(r, unicode.Cc, unicode.Cf) && !strings.ContainsRune("\n\t\u00ad\u200c\u200d\u200e\u200f\u061c", r)
}
