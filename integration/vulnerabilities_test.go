package integration

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// TestVulnerabilities holds the check of dependencies to its word: a finding fails,
// data that cannot be read fail, and data out of reach are said to be. The findings
// come from made-up data in the form of https://go.dev/security/vuln/database.
func TestVulnerabilities(t *testing.T) {
	const invented = `{"schema_version":"1.3.1","id":"GO-2026-0001","modified":"2026-01-01T00:00:00Z","published":"2026-01-01T00:00:00Z",
		"summary":"Invented","details":"Invented","database_specific":{"url":"https://example.invalid/GO-2026-0001"},
		"affected":[{"package":{"name":"MODULE","ecosystem":"Go"},"ranges":[{"type":"SEMVER","events":[{"introduced":"0"}]}],
		"ecosystem_specific":{"imports":[{"path":"MODULE","symbols":["CreateHash"]}]}}]}`
	data := func(module string) string {
		dir := t.TempDir()
		for name, text := range map[string]string{
			"index/db.json":        `{"modified":"2026-01-01T00:00:00Z"}`,
			"index/modules.json":   `[{"path":"MODULE","vulns":[{"id":"GO-2026-0001","modified":"2026-01-01T00:00:00Z"}]}]`,
			"ID/GO-2026-0001.json": invented,
		} {
			path := filepath.Join(dir, name)
			if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(path, []byte(strings.ReplaceAll(text, "MODULE", module)), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		return "file://" + dir
	}
	broken := data("github.com/alexedwards/argon2id")
	if err := os.WriteFile(filepath.Join(strings.TrimPrefix(broken, "file://"), "ID/GO-2026-0001.json"), []byte("{"),
		0o644); err != nil {
		t.Fatal(err)
	}
	cache, err := exec.Command("go", "env", "GOMODCACHE").Output()
	if err != nil {
		t.Fatal(err)
	}
	noNetwork := []string{"HTTPS_PROXY=http://127.0.0.1:1", "NO_PROXY=", "GOPROXY=file://" +
		strings.TrimSpace(string(cache)) + "/cache/download"}
	for _, c := range []struct {
		name, data string
		env        []string
		says       string
		passes     bool
	}{
		{"a vulnerable function is called", data("github.com/alexedwards/argon2id"), nil, "GO-2026-0001", false},
		{"another module is vulnerable", data("example.invalid/other"), nil, "No vulnerabilities found", true},
		{"the data are broken", broken, nil, "govulncheck:", false},
		{"the data cannot be reached", "", noNetwork, "not checked: the vulnerability data cannot be reached", true},
	} {
		args := []string{"../.ci/vulnerabilities.sh"}
		if c.data != "" {
			args = append(args, "-db", c.data)
		}
		cmd := exec.Command("bash", append(args, "../internal/staff")...)
		cmd.Env = append(os.Environ(), c.env...)
		out, err := cmd.CombinedOutput()
		if (err == nil) != c.passes || !strings.Contains(string(out), c.says) {
			t.Errorf("%s: passes %v, want %v with %q; says %s", c.name, err == nil, c.passes, c.says, out)
		}
	}
}
