package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"os"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// Two hundred clients at once, among them slow ones, hostile ones and ones with files
// of 60 MB: the page itself is served all the while, memory stays within bounds, and
// afterwards everything is as before. A few seconds, or a minute with TANKODDS_LOAD.
func TestPageUnderLoad(t *testing.T) {
	if testing.Short() {
		t.Skip("keeps the processor busy for seconds")
	}
	long := 2 * time.Second
	if os.Getenv("TANKODDS_LOAD") != "" {
		long = time.Minute
	}
	cmd := program("page", "--no-browser")
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	defer func() {
		cmd.Process.Kill()
		cmd.Wait()
	}()
	line, err := bufio.NewReader(out).ReadString('\n')
	require.NoError(t, err)
	_, address, _ := strings.Cut(strings.TrimSpace(line), "the page is at ")
	host := strings.TrimSuffix(strings.TrimPrefix(address, "http://"), "/")

	var start struct {
		Site  string
		Files map[string]string
	}
	require.NoError(t, json.Unmarshal(pageGets(t, address+"start"), &start))
	text := strings.Replace(start.Site, "# simulation:", "simulation: {years: 300}\n# simulation:", 1)
	question := func(n int) []byte {
		b, err := json.Marshal(map[string]any{"site": text, "files": start.Files, "quick": n%12 > 0, "roof": 100 + n%50})
		require.NoError(t, err)
		return b
	}
	big := bigRecord()
	client := &http.Client{Timeout: 2 * time.Minute, Transport: &http.Transport{MaxIdleConnsPerHost: 300}}
	var answered, refused, odd atomic.Int64
	post := func(path string, body io.Reader) {
		reply, err := client.Post(address+path, "application/json", body)
		if err != nil {
			return // ours: the time is up
		}
		io.Copy(io.Discard, reply.Body)
		reply.Body.Close()
		switch reply.StatusCode {
		case 200:
			answered.Add(1)
		case 503, 422, 409:
			refused.Add(1)
		default:
			odd.Add(1)
		}
	}
	raw := func(text string, hold time.Duration) {
		c, err := net.DialTimeout("tcp", host, 5*time.Second)
		if err != nil {
			return
		}
		defer c.Close()
		c.SetDeadline(time.Now().Add(hold + 2*time.Second))
		io.WriteString(c, text)
		time.Sleep(hold)
		io.Copy(io.Discard, io.LimitReader(c, 1<<16))
	}
	end := time.Now().Add(long)
	var wait sync.WaitGroup
	for i := range 200 {
		wait.Go(func() {
			rng := rand.New(rand.NewPCG(9, uint64(i)))
			for n := i; time.Now().Before(end); n++ {
				switch rng.IntN(8) {
				case 0, 1, 2:
					post("answer", bytes.NewReader(question(n)))
				case 3:
					post("site", bytes.NewReader(question(n)))
				case 4:
					post("answer", &slowly{bytes.NewReader(question(n)), 64 << 10})
				case 5:
					raw("GET / HTTP/1.1\r\nHost: "+host+"\r\nX: "+strings.Repeat("a", 70_000), 0)
				case 6:
					raw("POST /answer HTTP/1.1\r\nHost: evil.example\r\nContent-Length: 99999999999\r\n\r\n{", time.Duration(rng.IntN(300))*time.Millisecond)
				default:
					raw("\x16\x03\x01 no request at all\r\n\r\n", time.Duration(rng.IntN(1000))*time.Millisecond)
				}
			}
		})
	}
	for range 8 {
		wait.Go(func() { post("record?name=big.csv", bytes.NewReader(big)) })
	}
	slowest := time.Duration(0)
	for time.Now().Before(end) {
		began := time.Now()
		pageGets(t, address)
		slowest = max(slowest, time.Since(began))
		time.Sleep(50 * time.Millisecond)
	}
	wait.Wait()

	// The large record is read, as the page asks.
	var sum struct{ SHA256 string }
	reply, err := client.Post(address+"record?name=big.csv", "text/csv", bytes.NewReader(big))
	require.NoError(t, err)
	require.NoError(t, json.NewDecoder(reply.Body).Decode(&sum))
	reply.Body.Close()
	told := pageAsks(t, address, "site", map[string]any{"site": "rain: {file: big.csv}\n", "files": map[string]string{"big.csv": sum.SHA256}, "record": true})
	assert.Contains(t, string(told["record"]), "usable years")

	assert.Zero(t, odd.Load())
	assert.Greater(t, answered.Load(), int64(20))
	peak := peakMemory(t, cmd.Process.Pid)
	t.Logf("%d answered, %d refused; the page after %v at most; %d MB of memory at most", answered.Load(), refused.Load(), slowest.Round(time.Millisecond), peak>>20)
	assert.Less(t, slowest, 10*time.Second)
	assert.LessOrEqual(t, peak, int64(500<<20))
	again := pageAsks(t, address, "answer", map[string]any{"site": text, "files": start.Files})
	assert.Contains(t, string(again["answer"]), `"key":"`)
}

// slowly is a body that comes a piece at a time.
type slowly struct {
	from  io.Reader
	piece int
}

func (s *slowly) Read(p []byte) (int, error) {
	time.Sleep(20 * time.Millisecond)
	return s.from.Read(p[:min(len(p), s.piece/16)])
}

// bigRecord is a record of 60 MB: thirty years with long remarks.
func bigRecord() []byte {
	var b bytes.Buffer
	b.WriteString("date,rain_mm,remark\n")
	remark := strings.Repeat("nothing of note ", 350)
	first := rainfall.Day(1990, time.January, 1)
	for i := 0; b.Len() < 60<<20; i++ {
		fmt.Fprintf(&b, "%v,%d.%d,%s\n", first+rainfall.Date(i), i%3*(i%7), i%10, remark)
	}
	return b.Bytes()
}

// peakMemory is what a process held at most, bytes, where the system tells.
func peakMemory(t *testing.T, pid int) int64 {
	t.Helper()
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		t.Log("this system does not tell how much memory a process held; not checked")
		return 0
	}
	for line := range strings.Lines(string(text)) {
		if rest, ok := strings.CutPrefix(line, "VmHWM:"); ok {
			kb, err := strconv.ParseInt(strings.Fields(rest)[0], 10, 64)
			require.NoError(t, err)
			return kb << 10
		}
	}
	return 0
}
