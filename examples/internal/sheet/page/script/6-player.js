// What is told of the machine, and the player that moves it.

function span(ms) {
  const s = ms / 1000;
  if (s < 59.95) return s.toFixed(1) + ' s';
  const n = Math.round(s), h = Math.floor(n / 3600), m = Math.floor(n / 60) % 60;
  return (h ? h + ' h ' : '') + m + ' min ' + n % 60 + ' s';
}
const plural = (n, noun) => n + ' ' + noun + (n === 1 ? '' : 's');
const xy = p => 'X' + p[0].toFixed(3) + ' Y' + p[1].toFixed(3);
const runOf = l => { const p = scene.passes.find(q => l.pass && of(l, q)); return p && p.runs.find(r => r.run === l.run); };

// toolOf names the tool that makes an entry of a run and what is left for it after that.
function toolOf(l, i) {
  const r = runOf(l), share = r && l.hits && (r.shares || []).find(s => i + 1 >= s.first_hit && i + 1 < s.first_hit + s.hits);
  // Where the control counts, a bit may come worn from the load before.
  if (r && r.limit) return { name: r.tool, of: r.limit, left: Math.min(r.limit - i % r.limit, l.count - i) - 1, most: 'at most ' };
  return { most: '', name: share ? 'T' + share.tool : r ? r.tool : '', of: share ? share.hits : l.count, left: share ? share.first_hit + share.hits - i - 2 : l.count - i - 1 };
}

function tell() {
  const n = track.end.length;
  if (!n) { for (const id of ['hit', 'tool', 'left', 'place', 'time']) $('now-' + id).textContent = '–'; $('now-life').style.width = 0; $('now-hit').textContent = 'choose a pass'; return; }
  const k = Math.min(done(clock), n - 1), l = track.layers[track.layer[k]], i = track.mark[k], tool = toolOf(l, i);
  const whole = l.hits || !l.marks[i].n ? i + 1 : l.marks[i].n, of = l.hits || !l.marks[i].n ? l.count : l.marks[l.count - 1].n;
  $('now-hit').parentNode.firstElementChild.textContent = l.hits ? 'Hit' : 'Path';
  $('now-hit').textContent = whole + ' of ' + of;
  $('now-tool').textContent = (tool.name ? tool.name + '  ' : '') + (l.d ? l.d.toFixed(2) + ' mm' : '');
  $('now-left').textContent = l.hits ? tool.most + plural(tool.left, 'hit') : plural(of - whole, 'path');
  $('now-life').style.width = 100 * (l.hits ? tool.left / tool.of : (of - whole) / of) + '%';
  $('now-place').textContent = xy(head(done(clock)));
  $('now-time').textContent = track.timed ? (clock < track.to ? span(clock - track.from) : track.whole) + ' of ' + track.whole : 'not timed';
}

function stop() { playing = false; $('play').textContent = 'Play'; $('play').setAttribute('aria-pressed', 'false'); }
function play() {
  if (playing || !track.end.length) { stop(); return; }
  if (clock >= track.to) clock = track.from;
  playing = true; last = performance.now(); $('play').textContent = 'Pause'; $('play').setAttribute('aria-pressed', 'true'); ask();
}
function jump(time) { clock = Math.min(Math.max(time, track.from), track.to); $('time').value = clock; tell(); reover(); }
function step(by) {
  stop();
  const k = done(clock) + by;
  jump(k <= 0 ? track.from : track.end[Math.min(k, track.end.length) - 1]);
}
$('play').onclick = play;
$('back').onclick = () => step(-1);
$('next').onclick = () => step(1);
const strip = $('strip');
const seek = e => { if (stripWide && track.end.length) jump(track.from + (e.clientX - strip.getBoundingClientRect().left) / stripWide * (track.to - track.from)); };
strip.addEventListener('pointerdown', e => { e.preventDefault(); $('time').focus(); strip.setPointerCapture(e.pointerId); seek(e); });
strip.addEventListener('pointermove', e => { if (strip.hasPointerCapture(e.pointerId)) seek(e); });
$('time').oninput = () => { clock = Number($('time').value); tell(); reover(); };
