// Command rangebox keeps a rocket flyer's box of motors and igniters, and says
// which fit, whether they fire, and what is there.
package main

import (
	"os"

	"rangebox/cmd/rangebox/command"
)

func main() {
	command.TidyWhenStopped()
	os.Exit(command.Run(command.OSEnv(), os.Args[1:]))
}
