// Command verify runs everything that a change must pass, in one command, on a machine with Go and Node.js:
//
//	go run ./cmd/verify
//
// It installs what is missing (as root, with apt-get and npm), starts a PostgreSQL cluster of its own, runs the steps that do
// not wait for each other side by side, and ends with a summary and the number of tests that ran. It fails when any step
// failed, could not run, or skipped a test.
//
//	-list         names the steps
//	-only a,b     runs those steps, and what they cannot do without
//	-v            shows the output of the steps as they run
//
// Output of every step is kept in a folder of its own, whose path is printed first and last. Nothing in the working tree is
// written but frontend/node_modules and the test runners' own result folders: generators run in a copy of the tree.
package main
