package command_test

import (
	"flag"
	"os"
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"rangebox/cmd/rangebox/command"
)

var update = flag.Bool("update", false, "write what the commands say now into the scripts and golden files")

// TestMain lets the scripts run this very program: a process that is called
// rangebox is the command line, any other is the tests.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"rangebox": func() {
			command.TidyWhenStopped()
			os.Exit(command.Run(command.OSEnv(), os.Args[1:]))
		},
	})
}

const scripts = "testdata/script"

// TestScript runs the stories in testdata/script, each in a home of its own. The
// commands that they use beside those of testscript are in scriptcmd_test.go.
func TestScript(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: scripts, Setup: newHome, Cmds: scriptCommands,
		RequireExplicitExec: true, RequireUniqueNames: true, UpdateScripts: *update,
	})
}

// newHome is an empty home: no box, no settings, UTC.
func newHome(env *testscript.Env) error {
	seedFile, err := filepath.Abs("../../../seed/box.json")
	if err != nil {
		return err
	}
	for name, value := range map[string]string{
		"HOME":          filepath.Join(env.WorkDir, "home"),
		"XDG_DATA_HOME": filepath.Join(env.WorkDir, "data"),
		"BOX":           filepath.Join(env.WorkDir, "data", "rangebox", "rangebox.box"),
		"SEED":          seedFile,
		"TZ":            "UTC",
		"RANGEBOX_DB":   "",
		"NO_COLOR":      "",
		"GORACE":        os.Getenv("GORACE"), // how the race detector ends a process
	} {
		env.Setenv(name, value)
	}
	return nil
}
