// Package deploy holds what an installation is made of: container, service unit, roles, backup. Its tests run what can be run
// without a container engine, and read the rest for what must be in it.
package deploy

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
)

func read(t *testing.T, name string) string {
	t.Helper()
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

type service struct {
	Image       string
	Build       struct{ Context, Dockerfile string }
	Command     []string
	Environment map[string]string
	Volumes     []string
	Ports       []string
	Networks    []string
	DependsOn   map[string]struct{ Condition string } `yaml:"depends_on"`
	ReadOnly    bool                                  `yaml:"read_only"`
	CapDrop     []string                              `yaml:"cap_drop"`
	SecurityOpt []string                              `yaml:"security_opt"`
	Healthcheck struct{ Test []string }
}

type composition struct {
	Services map[string]service
	Networks map[string]struct{ Internal bool }
	Volumes  map[string]any
}

func compose(t *testing.T) composition {
	t.Helper()
	var c composition
	if err := yaml.Unmarshal([]byte(read(t, "../compose.yaml")), &c); err != nil {
		t.Fatalf("compose.yaml: %v", err)
	}
	if len(c.Services) == 0 {
		t.Fatal("compose.yaml has no services")
	}
	return c
}

var reference = regexp.MustCompile(`\$\{([A-Z0-9_]+)([^}]*)\}`)

// ownPassword finds a password in an address that is not taken from outside.
var ownPassword = regexp.MustCompile(`://[^/@:]*:[^$@]`)

// optional settings may be empty; all else that compose.yaml takes from outside must stop the start when it is missing.
var optional = []string{"LONGSPELL_PEPPER", "LONGSPELL_TRUSTED_PROXIES"}

func TestComposeRequiresWhatItTakesFromOutside(t *testing.T) {
	t.Parallel()
	example := exampleNames(t)
	for name, s := range compose(t).Services {
		for key, value := range s.Environment {
			for _, m := range reference.FindAllStringSubmatch(value, -1) {
				if !slices.Contains(example, m[1]) {
					t.Errorf("%s: %s is not explained in env.example", name, m[1])
				}
				want := ":?"
				if slices.Contains(optional, m[1]) {
					want = ":-"
				}
				if !strings.HasPrefix(m[2], want) || want == ":-" && m[2] != want {
					t.Errorf("%s: %s is taken as %s, want %s...}", name, key, m[0], "${"+m[1]+want)
				}
			}
			secret := strings.Contains(key, "PASSWORD") || strings.Contains(key, "KEY") || strings.Contains(key, "PEPPER")
			if secret && !reference.MatchString(value) {
				t.Errorf("%s: %s has a value of its own", name, key)
			}
			if ownPassword.MatchString(value) {
				t.Errorf("%s: the address of %s has a password of its own", name, key)
			}
		}
	}
}

func TestComposeKeepsRolesApart(t *testing.T) {
	t.Parallel()
	c := compose(t)
	serve, migrate := c.Services["longspell"], c.Services["migrate"]
	if !slices.Equal(serve.Command, []string{"serve"}) || !slices.Equal(migrate.Command, []string{"migrate"}) {
		t.Errorf("commands %v and %v", serve.Command, migrate.Command)
	}
	if serve.DependsOn["migrate"].Condition != "service_completed_successfully" || migrate.DependsOn["database"].Condition != "service_healthy" {
		t.Error("the service must wait for migrations, and they for the database")
	}
	if !strings.Contains(serve.Environment["LONGSPELL_DATABASE"], "//longspell_app:") {
		t.Error("the service does not connect as longspell_app")
	}
	if !strings.Contains(migrate.Environment["LONGSPELL_OWNER_DATABASE"], "//longspell_owner:") {
		t.Error("migrations do not connect as longspell_owner")
	}
	for key, value := range serve.Environment {
		if strings.Contains(key+value, "OWNER") || strings.Contains(key+value, "POSTGRES_PASSWORD") {
			t.Errorf("the service is given %s", key)
		}
	}
	for name, s := range map[string]service{"longspell": serve, "migrate": migrate} {
		if !s.ReadOnly || !slices.Equal(s.CapDrop, []string{"ALL"}) || !slices.Contains(s.SecurityOpt, "no-new-privileges:true") {
			t.Errorf("%s may do more than it needs", name)
		}
	}
	if len(serve.Healthcheck.Test) == 0 || len(c.Services["database"].Healthcheck.Test) == 0 {
		t.Error("a service has no health check")
	}
	if !c.Networks["data"].Internal || !slices.Equal(c.Services["database"].Networks, []string{"data"}) || len(c.Services["database"].Ports) > 0 {
		t.Error("the database can be reached from outside")
	}
	for _, p := range serve.Ports {
		if !strings.HasPrefix(p, "127.0.0.1:") {
			t.Errorf("port %s is open to the outside without TLS", p)
		}
	}
}

func TestFilesThatAreNamedExist(t *testing.T) {
	t.Parallel()
	for name, s := range compose(t).Services {
		for _, v := range s.Volumes {
			from, _, _ := strings.Cut(v, ":")
			if strings.HasPrefix(from, ".") {
				read(t, filepath.Join("..", from))
			}
		}
		if s.Build.Dockerfile != "" {
			read(t, filepath.Join("..", s.Build.Dockerfile))
		} else if s.Image == "" {
			t.Errorf("%s has neither image nor build", name)
		}
	}
}

// instructions are the instructions of the Dockerfile, comments aside and continued lines joined.
func instructions(t *testing.T) [][]string {
	t.Helper()
	text := strings.ReplaceAll(read(t, "Dockerfile"), "\\\n", " ")
	var all [][]string
	for _, line := range strings.Split(text, "\n") {
		if fields := strings.Fields(line); len(fields) > 0 && !strings.HasPrefix(fields[0], "#") {
			all = append(all, fields)
		}
	}
	return all
}

func TestDockerfile(t *testing.T) {
	t.Parallel()
	known := []string{"FROM", "WORKDIR", "COPY", "RUN", "USER", "EXPOSE", "STOPSIGNAL", "ENTRYPOINT", "CMD"}
	var last [][]string // the last stage
	static := false
	for _, in := range instructions(t) {
		if !slices.Contains(known, in[0]) || len(in) < 2 {
			t.Errorf("unknown instruction %v", in)
		}
		if in[0] == "FROM" {
			last = nil
		}
		last = append(last, in)
		static = static || in[0] == "RUN" && slices.Contains(in, "CGO_ENABLED=0") && slices.Contains(in, "build")
		if in[0] == "COPY" && !strings.HasPrefix(in[1], "--from=") {
			for _, from := range in[1 : len(in)-1] {
				if _, err := os.Stat(filepath.Join("..", from)); err != nil {
					t.Error(err)
				}
			}
		}
	}
	if !static {
		t.Error("the binary is not built with CGO_ENABLED=0, so it is not static")
	}
	final := fmt.Sprint(last)
	if !strings.HasPrefix(final, "[[FROM scratch]") || strings.Contains(final, "RUN") {
		t.Errorf("the last stage has more than the binary: %s", final)
	}
	if !regexp.MustCompile(`\[USER [1-9][0-9]*:[1-9][0-9]*\]`).MatchString(final) {
		t.Errorf("the last stage runs as root, or as a user known by name alone: %s", final)
	}
}

func TestScriptsParse(t *testing.T) {
	t.Parallel()
	scripts, err := filepath.Glob("*.sh")
	if err != nil || len(scripts) == 0 {
		t.Fatalf("no scripts (%v)", err)
	}
	for _, s := range scripts {
		if out, err := exec.CommandContext(t.Context(), "sh", "-n", s).CombinedOutput(); err != nil {
			t.Errorf("%s: %v\n%s", s, err, out)
		}
		if info, err := os.Stat(s); err != nil || info.Mode()&0o111 == 0 {
			t.Errorf("%s cannot be run (%v)", s, err)
		}
	}
	if out, err := exec.CommandContext(t.Context(), "bash", "-n", "../.ci/run").CombinedOutput(); err != nil {
		t.Errorf(".ci/run: %v\n%s", err, out)
	}
}

// exampleNames are the settings of env.example; each must be empty there.
func exampleNames(t *testing.T) []string {
	t.Helper()
	var names []string
	for i, line := range strings.Split(read(t, "env.example"), "\n") {
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		name, value, ok := strings.Cut(line, "=")
		if !ok || value != "" {
			t.Errorf("env.example:%d: %q must be a name with nothing behind the =", i+1, line)
		}
		names = append(names, name)
	}
	return names
}

func TestServiceUnits(t *testing.T) {
	t.Parallel()
	for name, wants := range map[string][]string{
		"longspell.service": {
			"ExecStart=/usr/local/bin/longspell serve", "DynamicUser=yes", "NoNewPrivileges=yes", "ProtectSystem=strict",
			"CapabilityBoundingSet=", "EnvironmentFile=/etc/longspell/env",
		},
		"longspell-migrate.service": {
			"ExecStart=/usr/local/bin/longspell migrate", "Type=oneshot", "DynamicUser=yes", "EnvironmentFile=/etc/longspell/owner.env",
		},
	} {
		lines := strings.Split(read(t, name), "\n")
		for i, line := range lines {
			header := strings.HasPrefix(line, "[") && strings.HasSuffix(line, "]")
			if line != "" && !strings.HasPrefix(line, "#") && !header && !strings.Contains(line, "=") {
				t.Errorf("%s:%d: neither a section nor a setting: %q", name, i+1, line)
			}
		}
		for _, w := range wants {
			if !slices.Contains(lines, w) {
				t.Errorf("%s: no line %q", name, w)
			}
		}
	}
}
