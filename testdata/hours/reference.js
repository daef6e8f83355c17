// Makes reference.json.gz: expressions of opening hours and when they are open during two years, as a general reference
// library has it. The library (npm package opening_hours, LGPL-3.0) is used for this file only and is no part of the
// project. To run it again:
//
//	here=$PWD && cd "$(mktemp -d)" && npm install --no-save opening_hours@3.15.0
//	NODE_PATH=$PWD/node_modules node "$here/reference.js" | gzip -9n > "$here/reference.json.gz"
//
// The library takes its zone from the environment variable TZ, so the script starts itself once for each zone. With the
// place given by country it needs no network. Each case holds for each zone, from the first year's first instant on, minutes
// closed and minutes open in turn: [600, 120, 1320, 120, ...] opens at 10:00 on 1 January for two hours, and again 22 hours
// later. Beside them stand the days that the library takes for public holidays (PH) of the country.
'use strict';

const { execFileSync } = require('child_process');

const VERSION = '3.15.0';
const SEED = 20260308;
const YEAR = 2026;
const YEARS = 2;
const ZONES = ['America/New_York', 'Europe/Berlin', 'Australia/Adelaide'];
const PLACE = { address: { country_code: 'us', state: '' } };
const RANDOM_CASES = 1200;

// Written by hand: each form the subset knows, and the corners where readings of the notation differ.
const WRITTEN = [
  '24/7', 'off', '24/7; Dec 24-26 off', 'Mo-Fr 05:00-09:00', 'Mo-Fr 05:00-09:00,13:00-15:00', 'Sa,Su 06:00-10:00',
  'Fr-Mo 22:00-02:00', 'Apr-Oct Mo-Fr 08:00-16:00', 'Nov-Mar 09:00-15:00', 'Nov-Mar: Sa 09:00-15:00',
  'Mo-Fr 05:00-09:00; Dec 24-26 off', 'Mo-Fr 05:00-09:00; Dec 24 off', 'Mo-Fr 05:00-09:00; 2026 Dec 24 off',
  'Mo-Fr 05:00-09:00; 2027 Dec 24 off', 'Mo-Fr 05:00-09:00; Dec 24-Jan 02 off', 'Mo-Fr 08:00-12:00, We 14:00-16:00',
  'Mo-Fr 08:00-17:00; 12:00-13:00 off', '24/7; 2026 Dec 24 12:00-24:00 off', 'Dec 24,26 10:00-12:00',
  'Dec 24-26,28 10:00-12:00', '2026 Dec 24-2027 Jan 02 10:00-12:00', '2026 10:00-12:00', '2025-2026 Mo 10:00-12:00',
  '2024-2025,2027 10:00-12:00', '2026 Apr-Oct 10:00-12:00', 'Jan,Mar-Apr,Dec 10:00-12:00', 'Mo,We-Th,Su 10:00-12:00',
  'Sa-Mo', 'Dec 24', 'open; Su off', 'Mo-Sa 00:00-24:00', '22:00-00:00', '22:00-26:00', 'Mo 08:00-34:00',
  // over midnight, and rules that take a day over
  'Mo-Fr 22:00-02:00; Fr 08:00-10:00', 'Mo-Fr 22:00-02:00; Dec 24-25 off', '22:00-02:00; Fr off',
  'Mo-Su 22:00-02:00; Fr 23:00-01:00 off', 'Mo-Su 22:00-02:00, Fr off', 'Mo-Su 08:00-26:00; Tu 01:00-03:00',
  'Mo-Fr 22:00-02:00, Fr 08:00-10:00', 'Mo-Su 12:00-13:00; We 22:00-02:00', 'Sa 22:00-04:00; Su 01:00-02:00',
  'Su 01:00-02:00; Sa 22:00-04:00', 'Mo-Fr off; We 10:00-12:00', 'Dec 24 off; Mo-Su 08:00-09:00',
  // the two days on which the clock changes
  '01:30-03:30', '02:00-03:00', '02:30-05:00', '00:00-02:30', '02:10-02:50', '02:30-03:10', '22:00-02:30', '01:10-01:50',
  '22:00-01:30', '00:30-01:30', '01:00-02:00', '01:30-02:00', '03:00-04:00', '02:00-02:30,03:00-04:00', '23:00-03:00',
  '01:00-02:00; Mar 8 01:30-04:00', 'Mar 08 22:00-04:00', 'Mar 29,Nov 01,Oct 25 22:00-04:00', 'Mar 08,29 off', 'Su 00:00-06:00; Su 02:00-03:00 off', '24/7; Su 01:30-02:30 off',
  'Feb 20-29 10:00-12:00', 'Feb 20-Mar 01 10:00-12:00', 'Mo-Fr 08:00-16:00; Mo off; Mo 10:00-12:00, Mo 11:00-11:30 off',
  // weeks of ISO 8601, weekdays counted in the month, public holidays
  'week 01-53/2 Mo 08:00-10:00', 'week 02-52/2 Mo-Fr 08:00-10:00', 'week 10-20 We 08:00-10:00', 'week 53 10:00-12:00', 'week 01,53 Th-Su 22:00-02:00',
  '2026 week 10-20/3 08:00-09:00', 'Apr week 10-20/2 Mo 08:00-09:00', 'week 10: Mo 08:00-09:00', 'We[2] 08:00-10:00', 'Fr[-1] 22:00-03:00',
  'Mo[1,3] 08:00-09:00', 'Mo[5] 08:00-09:00', 'Su[-5] 08:00-09:00', 'Tu[2-4],Th 08:00-09:00', 'Sa[1],Su[-1]', 'Mo-Fr 08:00-17:00; Fr[1] off', 'Dec Su[-1] off; Dec 10:00-12:00',
  'PH', 'PH 10:00-12:00', 'Mo-Fr,PH 08:00-09:00', 'PH,Su off; Mo-Sa 08:00-09:00', 'Mo-Fr 08:00-17:00; PH off', 'Mo-Fr 22:00-02:00; PH off', 'Mo-Su 06:00-08:00; PH 09:00-10:00',
  '24/7; PH 12:00-24:00 off', 'Mo[1] 08:00-10:00, PH 20:00-01:00', 'Sa,PH 06:00-08:00; week 02-52/2 Sa off', 'Nov Th[4] off; Nov 08:00-09:00', 'Nov-Mar PH 08:00-09:00',
  // a note and spellings
  'Sa 08:00-12:00 open "ring at gate"; Su off "closed"', 'mo-fr 08:00-12:00', 'Mo-Fr 08:00-12:00 open, 14:00-16:00',
  'Su-Tu 11:00-01:00, We-Th 11:00-03:00, Fr 11:00-06:00, Sa 11:00-07:00', 'Mo-Fr 10:00-12:00;',
];

// generator returns numbers in [0, 1): mulberry32, public domain.
function generator(seed) {
  return () => {
    seed = (seed + 0x6d2b79f5) | 0;
    let t = Math.imul(seed ^ (seed >>> 15), 1 | seed);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

const random = generator(SEED);
const below = n => Math.floor(random() * n);
const pick = list => list[below(list.length)];
const two = n => String(n).padStart(2, '0');
const clock = minutes => two(Math.floor(minutes / 60)) + ':' + two(minutes % 60);
const WEEKDAYS = ['Mo', 'Tu', 'We', 'Th', 'Fr', 'Sa', 'Su'];
const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

// times returns one or two ranges; the last may run over midnight.
function times() {
  const cuts = new Set();
  const wanted = pick([2, 2, 4]);
  while (cuts.size < wanted) cuts.add(15 * below(96));
  const at = [...cuts].sort((a, b) => a - b);
  if (random() < 0.3) at.push(at.shift()); // the last range closes in the morning
  const ranges = [];
  for (let i = 0; i < at.length; i += 2) ranges.push(clock(at[i]) + '-' + clock(at[i + 1]));
  return ranges.join(',');
}

// weekdays may be counted in the month, but not after dates: there the library reads the count as part of a date.
function weekdays(mayCount) {
  const n = pick([1, 1, 2]);
  const items = [];
  for (let i = 0; i < n; i++) items.push(random() < 0.5 ? pick(WEEKDAYS) : pick(WEEKDAYS) + '-' + pick(WEEKDAYS));
  const days = items.map(w => (w.slice(0, 2) === w.slice(3) ? w.slice(0, 2) : w));
  if (mayCount && random() < 0.3) days[0] = pick(WEEKDAYS) + '[' + pick(['1', '2', '3', '4', '5', '-1', '-2', '1,3', '2,4', '2-4']) + ']';
  if (random() < 0.15) days.push('PH');
  return days.join(',');
}

function weeks() {
  const from = 1 + below(30);
  const to = from + 2 + below(53 - from - 1);
  return 'week ' + pick([two(from), two(from) + '-' + two(to), two(from) + '-' + two(to) + '/2', '01-53/2', '02-52/2', two(from) + '-' + two(to) + '/' + (2 + below(3))]);
}

function dates() {
  const m = below(12);
  const day = 1 + below(27);
  switch (below(7)) {
    case 0: return MONTHS[m];
    case 1: return MONTHS[m] + '-' + MONTHS[(m + 1 + below(11)) % 12];
    case 2: return MONTHS[m] + ' ' + two(day);
    case 3: return MONTHS[m] + ' ' + two(day) + '-' + two(day + 1 + below(28 - day));
    case 4: return MONTHS[m] + ' ' + two(day) + '-' + MONTHS[(m + 1 + below(11)) % 12] + ' ' + two(1 + below(28));
    case 5: return YEAR + ' ' + MONTHS[m] + ' ' + two(day);
    default: return MONTHS[m] + ' ' + two(day) + ',' + pick(MONTHS) + ' ' + two(1 + below(28));
  }
}

function rule(first) {
  const parts = [];
  const dated = random() < 0.35;
  if (dated) parts.push(dates());
  if (random() < 0.15) parts.push(weeks());
  if (random() < 0.6 || (parts.length === 0 && !first)) parts.push(weekdays(!dated));
  const closed = !first && random() < 0.35;
  if (!closed || random() < 0.3) parts.push(times());
  if (closed) parts.push('off');
  return parts.join(' ');
}

function expression() {
  const n = pick([1, 2, 2, 3]);
  let text = rule(true);
  for (let i = 1; i < n; i++) {
    const canAdd = text.endsWith('off') || /\d\d:\d\d$/.test(text);
    text += (canAdd && random() < 0.3 ? ', ' : '; ') + rule(false);
  }
  return text;
}

function expressions() {
  const texts = new Set(WRITTEN);
  while (texts.size < WRITTEN.length + RANDOM_CASES) texts.add(expression());
  return [...texts];
}

const from = new Date(YEAR, 0, 1);
const to = new Date(YEAR + YEARS, 0, 1);

// run returns [closed, open, closed, ...] in minutes from the first year's beginning.
function run(OpeningHours, text) {
  const minutes = [];
  let last = from;
  for (const [open, close, unknown] of new OpeningHours(text, PLACE, { mode: 0 }).getOpenIntervals(from, to)) {
    if (unknown) throw new Error(text + ': unknown state');
    minutes.push((open - last) / 60000, (close - open) / 60000);
    last = close;
  }
  return minutes;
}

// holidays lists the days of the two years that are public holidays, as [month, day] by year.
function holidays(OpeningHours) {
  const days = [];
  const at = new OpeningHours('PH', PLACE, { mode: 0 });
  for (let d = new Date(YEAR, 0, 1, 12); d < to; d = new Date(d.getFullYear(), d.getMonth(), d.getDate() + 1, 12)) {
    if (at.getState(d)) days.push([d.getFullYear(), d.getMonth() + 1, d.getDate()].map(two).join('-'));
  }
  return days;
}

if (process.argv[2] === 'zone') {
  const OpeningHours = require('opening_hours');
  console.warn = console.log = () => {};
  process.stdout.write(JSON.stringify({ holidays: holidays(OpeningHours), runs: expressions().map(text => run(OpeningHours, text)) }));
} else {
  const version = require('opening_hours/package.json').version;
  if (version !== VERSION) throw new Error('opening_hours ' + version + ' found, ' + VERSION + ' wanted');
  const zones = ZONES.map(zone => {
    const env = { ...process.env, TZ: zone };
    return JSON.parse(execFileSync(process.execPath, [__filename, 'zone'], { env, maxBuffer: 1 << 28 }));
  });
  const cases = expressions().map((text, i) => ({ text, minutes: zones.map(z => z.runs[i]) }));
  const head = { source: 'opening_hours ' + VERSION + ' (npm)', seed: SEED, year: YEAR, years: YEARS, zones: ZONES, country: PLACE.address.country_code, holidays: zones[0].holidays };
  process.stdout.write(JSON.stringify({ ...head, cases }) + '\n');
}
