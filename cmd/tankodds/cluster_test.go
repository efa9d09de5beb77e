package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v3"
)

// manifest is what Kubernetes reads of a Job or a claim (batch/v1 and v1); a key that
// is not listed fails the test.
type manifest struct {
	APIVersion string `yaml:"apiVersion"`
	Kind       string
	Metadata   struct{ Name string }
	Spec       struct {
		CompletionMode string `yaml:"completionMode"`
		Completions    int
		Parallelism    int
		BackoffLimit   int `yaml:"backoffLimit"`
		Suspend        bool
		Template       struct {
			Spec struct {
				RestartPolicy string `yaml:"restartPolicy"`
				Containers    []container
				Volumes       []struct {
					Name                  string
					PersistentVolumeClaim struct {
						ClaimName string `yaml:"claimName"`
					} `yaml:"persistentVolumeClaim"`
				}
			}
		}
		AccessModes []string `yaml:"accessModes"`
		Resources   resources
	}
}

type container struct {
	Name, Image  string
	Command      []string
	Resources    resources
	VolumeMounts []struct {
		Name      string
		MountPath string `yaml:"mountPath"`
	} `yaml:"volumeMounts"`
}

type resources struct {
	Requests, Limits map[string]string
}

// The Jobs of scripts/cluster/kubernetes.yaml have the shape of batch/v1, and their very
// commands, one for each index from 0, make what one run makes.
func TestKubernetesJobs(t *testing.T) {
	t.Parallel()
	text, err := os.ReadFile("../../scripts/cluster/kubernetes.yaml")
	require.NoError(t, err)
	var all []manifest
	for d := yaml.NewDecoder(bytes.NewReader(text)); ; {
		d.KnownFields(true)
		m := manifest{}
		if err := d.Decode(&m); errors.Is(err, io.EOF) {
			break
		} else {
			require.NoError(t, err)
		}
		all = append(all, m)
	}
	require.Len(t, all, 3)
	shares, merge, claim := &all[0], &all[1], &all[2]
	for _, job := range []*manifest{shares, merge} {
		assert.Equal(t, "batch/v1 Job", job.APIVersion+" "+job.Kind)
		s := job.Spec.Template.Spec
		require.Len(t, s.Containers, 1)
		require.Len(t, s.Volumes, 1)
		c := s.Containers[0]
		require.Len(t, c.VolumeMounts, 1)
		assert.Equal(t, "/data", c.VolumeMounts[0].MountPath)
		assert.Equal(t, s.Volumes[0].Name, c.VolumeMounts[0].Name)
		assert.Equal(t, claim.Metadata.Name, s.Volumes[0].PersistentVolumeClaim.ClaimName)
		assert.Equal(t, "tankodds:"+version, c.Image)
		assert.NotEmpty(t, c.Resources.Requests["memory"])
		require.Len(t, c.Command, 3)
		assert.Equal(t, []string{"sh", "-c"}, c.Command[:2])
	}
	assert.Equal(t, "v1 PersistentVolumeClaim", claim.APIVersion+" "+claim.Kind)
	assert.Equal(t, []string{"ReadWriteMany"}, claim.Spec.AccessModes)
	// Shares may be lost and begun again; the merge waits until it is let go.
	assert.Equal(t, "Indexed", shares.Spec.CompletionMode)
	assert.Equal(t, "OnFailure", shares.Spec.Template.Spec.RestartPolicy)
	assert.False(t, shares.Spec.Suspend)
	assert.True(t, merge.Spec.Suspend)
	assert.Contains(t, string(text), "kubectl wait --for=condition=complete --timeout=24h job/"+shares.Metadata.Name+"\n")
	assert.Contains(t, string(text), "kubectl patch job/"+merge.Metadata.Name+" ")
	n := shares.Spec.Completions
	line := shares.Spec.Template.Spec.Containers[0].Command[2]
	assert.Equal(t, n, shares.Spec.Parallelism)
	assert.Contains(t, line, fmt.Sprintf(`--shard "$((JOB_COMPLETION_INDEX + 1))/%d"`, n), "as many as there are completions")

	if _, err := exec.LookPath("sh"); err != nil {
		t.Skip("no shell to run the commands with")
	}
	if testing.Short() {
		t.Skip("runs nine processes")
	}
	dir := t.TempDir()
	require.NoError(t, os.Rename(stationFolder(t, 9), filepath.Join(dir, "records")))
	// The volume is a folder, and what sh finds as tankodds is this binary. Years are
	// spared.
	self, err := filepath.Abs(os.Args[0])
	require.NoError(t, err)
	bin := t.TempDir()
	require.NoError(t, os.Symlink(self, filepath.Join(bin, "tankodds")))
	sh := func(command string, env ...string) (string, error) {
		cmd := exec.Command("sh", "-c", strings.ReplaceAll(command, "/data", dir))
		cmd.Env = append(os.Environ(), append(env, asProgram+"=1", "PATH="+bin+":"+os.Getenv("PATH"))...)
		out, err := cmd.CombinedOutput()
		return string(out), err
	}
	line = strings.Replace(line, " --shard", " --years 200 --shard", 1)
	together := merge.Spec.Template.Spec.Containers[0].Command[2]
	for i := range n {
		if i == n-1 { // too early
			out, err := sh(together)
			assert.Error(t, err)
			assert.Contains(t, out, fmt.Sprintf("of %d shares these are missing or not finished: %d\n", n, n))
		}
		out, err := sh(line, fmt.Sprintf("JOB_COMPLETION_INDEX=%d", i))
		require.NoError(t, err, out)
		require.Contains(t, out, fmt.Sprintf("Share %d of %d: ", i+1, n))
	}
	out, err := sh(together)
	require.NoError(t, err, out)
	whole := done(t, "compare", filepath.Join(dir, "records"), "--roof", "140 m2 metal", "--use", "150 L/day", "--years", "200", "--quiet", "--out", filepath.Join(dir, "whole"))
	assert.Equal(t, whole, out)
	assert.Equal(t, folderBytes(t, filepath.Join(dir, "whole")), folderBytes(t, filepath.Join(dir, "all")))
}
