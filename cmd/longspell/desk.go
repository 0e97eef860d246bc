package main

import "github.com/spf13/cobra"

func deskCommands() []*cobra.Command { return nil }
