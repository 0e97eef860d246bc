// Package pgcluster runs a throwaway PostgreSQL cluster for tests: made by initdb in a temporary folder, reached by a unix
// socket alone, gone when its owner stops it or ends in any way.
//
// # Why a supervisor
//
// A test binary has no last moment at which it surely runs code: it may be killed, or end by a time limit. So the server is
// the child of a small shell that reads from a pipe held by the owner, and so is initdb before it. When the pipe closes, because Stop
// closed it or because the owner is gone, the shell ends what runs and removes the folder. Nothing depends on which thread started it or on signals
// that the owner would have to catch.
//
// # Who runs it
//
// initdb and postgres refuse to run as root. When the owner is root, both run as the user postgres, or nobody where there
// is none, in a folder that belongs to that user.
//
// # What is switched off
//
// Everything that guards data against a crash of the machine (fsync, synchronous_commit, full_page_writes): the data are
// thrown away after such a crash. Nothing that changes what a statement means is switched off.
package pgcluster
