package nc_test

import (
	"bufio"
	"bytes"
	"io"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"
	"time"

	"example.org/pinstack/tooling/nc"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// bigProgram makes a program of n hits by 20 tools, as text and operations.
func bigProgram(tb testing.TB, n int) ([]byte, []nc.Op, []nc.ToolDef) {
	tb.Helper()
	rng := rand.New(rand.NewPCG(7, 7))
	tools := tableOf(20)
	in := make([]nc.Op, 0, n+len(tools))
	for k, tool := range tools {
		in = append(in, nc.Op{Kind: nc.OpTool, Tool: tool.Number})
		for i := k; i < n; i += len(tools) {
			in = append(in, nc.Op{Kind: nc.OpHit, Tool: tool.Number, To: orb.Point{float64(rng.IntN(450_000)) / 1000, float64(rng.IntN(600_000)) / 1000}})
		}
	}
	p, err := nc.Build(slices.Values(in), tools, nc.WriteOptions{Zeros: nc.TrailingZeros})
	require.NoError(tb, err)
	var b bytes.Buffer
	_, err = p.WriteTo(&b)
	require.NoError(tb, err)
	return b.Bytes(), in, tools
}

const manyHits = 1_000_000

// BenchmarkLines is the yardstick: the same bytes split into lines and nothing else.
func BenchmarkLines(b *testing.B) {
	src, _, _ := bigProgram(b, manyHits)
	b.SetBytes(int64(len(src)))
	b.ReportAllocs()
	for b.Loop() {
		sc := bufio.NewScanner(bytes.NewReader(src))
		n := 0
		for sc.Scan() {
			n++
		}
		if n < manyHits {
			b.Fatal(n)
		}
	}
	b.ReportMetric(manyHits*float64(b.N)/b.Elapsed().Seconds(), "hits/s")
}

func BenchmarkScan(b *testing.B) {
	src, _, _ := bigProgram(b, manyHits)
	b.SetBytes(int64(len(src)))
	b.ReportAllocs()
	for b.Loop() {
		n := 0
		for op, err := range nc.Scan(bytes.NewReader(src), nc.ReadOptions{}) {
			if err != nil {
				b.Fatal(err)
			}
			if op.Kind == nc.OpHit {
				n++
			}
		}
		if n != manyHits {
			b.Fatal(n)
		}
	}
	b.ReportMetric(manyHits*float64(b.N)/b.Elapsed().Seconds(), "hits/s")
}

func BenchmarkParse(b *testing.B) {
	src, _, _ := bigProgram(b, manyHits)
	b.SetBytes(int64(len(src)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := nc.Parse(src, nc.ReadOptions{}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(manyHits*float64(b.N)/b.Elapsed().Seconds(), "hits/s")
}

func BenchmarkOps(b *testing.B) {
	src, _, _ := bigProgram(b, manyHits)
	p, err := nc.Parse(src, nc.ReadOptions{})
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		for range p.Ops() {
		}
	}
	b.ReportMetric(manyHits*float64(b.N)/b.Elapsed().Seconds(), "hits/s")
}

func BenchmarkWrite(b *testing.B) {
	src, in, tools := bigProgram(b, manyHits)
	b.SetBytes(int64(len(src)))
	b.ReportAllocs()
	for b.Loop() {
		p, err := nc.Build(slices.Values(in), tools, nc.WriteOptions{})
		if err != nil {
			b.Fatal(err)
		}
		if _, err := p.WriteTo(io.Discard); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(manyHits*float64(b.N)/b.Elapsed().Seconds(), "hits/s")
}

func BenchmarkCompare(b *testing.B) {
	src, _, _ := bigProgram(b, 20_000)
	p, err := nc.Parse(src, nc.ReadOptions{})
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		if notes, err := nc.Compare(p, p, 0.001); err != nil || len(notes) > 0 {
			b.Fatal(notes, err)
		}
	}
}

// BenchmarkAgainstLines measures splitting, reading and writing in one run and
// reports the ratios of their rates in hits a second: of reading to splitting the
// same bytes into lines (1/16 = 0.0625 is asked for), and of writing to reading
// (0.5 is).
func BenchmarkAgainstLines(b *testing.B) {
	src, in, tools := bigProgram(b, manyHits)
	var split, read, write time.Duration
	for b.Loop() {
		start := time.Now()
		sc := bufio.NewScanner(bytes.NewReader(src))
		for sc.Scan() {
		}
		split += time.Since(start)
		start = time.Now()
		for _, err := range nc.Scan(bytes.NewReader(src), nc.ReadOptions{}) {
			if err != nil {
				b.Fatal(err)
			}
		}
		read += time.Since(start)
		start = time.Now()
		p, err := nc.Build(slices.Values(in), tools, nc.WriteOptions{})
		if err != nil {
			b.Fatal(err)
		}
		if _, err := p.WriteTo(io.Discard); err != nil {
			b.Fatal(err)
		}
		write += time.Since(start)
	}
	b.ReportMetric(split.Seconds()/read.Seconds(), "read-rate/split-rate")
	b.ReportMetric(read.Seconds()/write.Seconds(), "write-rate/read-rate")
	b.ReportMetric(manyHits*float64(b.N)/read.Seconds(), "hits/s")
}

// stream makes the text of a program of n hits while it is read, so that what a
// scan takes is all that is allocated.
type stream struct {
	left, next int
	buf        []byte
}

func newStream(n int) *stream {
	return &stream{left: n, buf: make([]byte, 0, 64<<10)}
}

func (s *stream) Read(p []byte) (int, error) {
	if s.next == 0 {
		s.buf = append(s.buf[:0], "M48\nMETRIC,TZ\nT1C0.300\n%\nT1\n"...)
		s.next = 1
	}
	for len(s.buf) < 32<<10 && s.left >= 0 {
		if s.left == 0 {
			s.buf = append(s.buf, "M30\n"...)
		} else {
			s.buf = sixDigits(append(s.buf, 'X'), s.next%450_000)
			s.buf = append(sixDigits(append(s.buf, 'Y'), s.next/450_000*1000), '\n')
			s.next++
		}
		s.left--
	}
	if len(s.buf) == 0 {
		return 0, io.EOF
	}
	n := copy(p, s.buf)
	s.buf = s.buf[:copy(s.buf, s.buf[n:])]
	return n, nil
}

// sixDigits appends n with its leading zeros; it allocates nothing.
func sixDigits(to []byte, n int) []byte {
	for place := 100_000; place > 0; place /= 10 {
		to = append(to, byte('0'+n/place%10))
	}
	return to
}

// BenchmarkScanFiveMillion reports what a scan of 5,000,000 hits allocates in
// all, a hit, and the most that its heap grows by.
func BenchmarkScanFiveMillion(b *testing.B) {
	const n = 5_000_000
	var before, now runtime.MemStats
	peak := uint64(0)
	total := uint64(0)
	for b.Loop() {
		src := newStream(n)
		runtime.GC()
		runtime.ReadMemStats(&before)
		hits := 0
		for op, err := range nc.Scan(src, nc.ReadOptions{}) {
			if err != nil {
				b.Fatal(err)
			}
			if op.Kind == nc.OpHit {
				if hits++; hits%500_000 == 0 {
					runtime.ReadMemStats(&now)
					peak = max(peak, now.HeapAlloc-min(now.HeapAlloc, before.HeapAlloc))
				}
			}
		}
		if hits != n {
			b.Fatal(hits)
		}
		runtime.ReadMemStats(&now)
		total += now.TotalAlloc - before.TotalAlloc
	}
	b.ReportMetric(float64(total)/float64(b.N)/n, "B/hit")
	b.ReportMetric(float64(peak), "peak-B")
}

// TestScanMemoryIsFlat streams growing programs: what is allocated in all must
// not grow with the hits.
func TestScanMemoryIsFlat(t *testing.T) {
	allocated := func(n int) uint64 {
		src, _, _ := bigProgram(t, n)
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		hits := 0
		for op, err := range nc.Scan(bytes.NewReader(src), nc.ReadOptions{}) {
			require.NoError(t, err)
			if op.Kind == nc.OpHit {
				hits++
			}
		}
		runtime.ReadMemStats(&after)
		require.Equal(t, n, hits)
		return after.TotalAlloc - before.TotalAlloc
	}
	small, large := allocated(100_000), allocated(500_000)
	t.Logf("%d bytes for 100,000 hits, %d for 500,000", small, large)
	if large > small+64<<10 {
		t.Errorf("%d bytes for 100,000 hits, %d for 500,000: reading must not keep hits", small, large)
	}
}
