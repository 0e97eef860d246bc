package main

import (
	"fmt"
	"net"
	"net/http"
	"time"

	"github.com/spf13/cobra"
)

// healthPatience is how long the service may take to say that it is ready.
const healthPatience = 5 * time.Second

// healthCommand asks the service on this machine whether it is ready: what a container's health check runs, in an image that has
// no other program.
func healthCommand() *cobra.Command {
	c := &cobra.Command{Use: "health", Short: "Ask the service on this machine whether it is ready; status 1 if it is not", Args: cobra.NoArgs}
	c.RunE = func(c *cobra.Command, _ []string) error {
		set, err := settings("")
		if err != nil {
			return err
		}
		host, port, err := net.SplitHostPort(set.Addr)
		if err != nil {
			return err
		}
		if ip := net.ParseIP(host); host == "" || ip != nil && ip.IsUnspecified() {
			host = "127.0.0.1" // listening on every address, so on this one too
		}
		req, err := http.NewRequestWithContext(c.Context(), http.MethodGet, "http://"+net.JoinHostPort(host, port)+"/readyz", nil)
		if err != nil {
			return err
		}
		res, err := (&http.Client{Timeout: healthPatience}).Do(req)
		if err != nil {
			return err
		}
		defer res.Body.Close()
		if res.StatusCode != http.StatusOK {
			return fmt.Errorf("not ready: the service answered %d", res.StatusCode)
		}
		fmt.Fprintln(c.OutOrStdout(), "ready")
		return nil
	}
	return c
}
