package command_test

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// TestStopped tells an import to end while it writes: it leaves the box as it was and
// nothing beside it.
func TestStopped(t *testing.T) {
	dir := t.TempDir()
	box, file := filepath.Join(dir, "a.box"), filepath.Join(t.TempDir(), "lots.csv")
	igniters := filepath.Join(t.TempDir(), "igniters.csv")
	writeRows(t, igniters, "handle,bridge_ohm", 50, func(i int) string { return fmt.Sprintf("wick-%d,1.6", i) })
	writeRows(t, file, "kind,item,quantity,code", 60_000, func(i int) string { return fmt.Sprintf("igniter,wick-%d,%d,L%05d", i%50, 1+i%17, i) })
	rangebox(t, "--db", box, "import", igniters, "--kind", "igniter")
	before, err := os.ReadFile(box)
	if err != nil {
		t.Fatal(err)
	}
	var said bytes.Buffer
	cmd := exec.Command("rangebox", "--db", box, "import", file)
	cmd.Stderr = &said
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	for began := time.Now(); len(beside(t, dir)) < 2; time.Sleep(5 * time.Millisecond) {
		if time.Since(began) > time.Minute {
			t.Fatal("it never began to write")
		}
	}
	if err := cmd.Process.Signal(syscall.SIGINT); err != nil {
		t.Fatal(err)
	}
	_ = cmd.Wait()
	if code := cmd.ProcessState.ExitCode(); code != 1 || !strings.Contains(said.String(), "stopped before it was done") {
		t.Errorf("exit status %d, said %q", code, said.String())
	}
	if names := beside(t, dir); len(names) != 1 {
		t.Errorf("it left %q", names)
	}
	if after, err := os.ReadFile(box); err != nil || !bytes.Equal(before, after) {
		t.Errorf("the box is another one (%v)", err)
	}
}

// beside lists what lies in a folder.
func beside(t *testing.T, dir string) (names []string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, entry := range entries {
		names = append(names, entry.Name())
	}
	return names
}
