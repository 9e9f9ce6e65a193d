// Hinged packs closed by the Manifold library: the formed part's shell is cut in two at its fold line, the
// lid turned on to the base about the axis that the program states, and what both have in common measured.
// Shut with a little room there is next to nothing, pushed further the flanges are in each other; a pack
// that strikes does so at the angle stated. Snaps are left out: their faces are finer than the shell.
// usage: node closing.mjs MODULES PLATEN PACK.yaml WORK
import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { library, read } from './solids.mjs';

const ROOM = 0.05; // mm between the flanges of a shut pack
const PUSH = 0.3; // mm further
const NOTHING = 1; // mm3
const SHARE = 0.8; // of flange x push that is wanted when pushed, the rest is bends and rounding
const [modules, platen, pack, work] = process.argv.slice(2);
const { Manifold, Mesh } = await library(modules);

function run(...args) {
  try {
    execFileSync(platen, args, { stdio: 'ignore' });
  } catch (e) {
    if (e.status !== 1) throw e; // 1: the review found errors, as it should in a pack that strikes
  }
}

// Builds a pack and returns its halves in a frame whose X is the fold line, whose base lies at y < 0 and
// whose meeting faces look up at z = 0, the snaps cut out.
function halves(name, text) {
  mkdirSync(work, { recursive: true });
  const job = `${work}/${name}.yaml`;
  writeFileSync(job, text);
  const folder = `${work}/${name}`;
  run('build', job, '--only', 'part.stl,close.json', '--anyway', '--force', '-o', folder);
  const uncleared = existsSync(`${folder}/part.stl`) ? '' : '-not-cleared';
  const stated = JSON.parse(readFileSync(`${folder}/close${uncleared}.json`, 'utf8'));
  let part = new Manifold(read(`${folder}/part${uncleared}.stl`, Mesh).mesh);
  for (const s of stated.snaps) {
    for (const [x, y] of [s.button_at_mm, s.socket_at_mm]) {
      part = part.subtract(Manifold.cylinder(100, s.button_diameter_mm / 2 + 3, -1, 64, true).translate(x, y, 0));
    }
  }
  const turn = -Math.atan2(stated.axis_along[1], stated.axis_along[0]) * 180 / Math.PI;
  const [x, y, z] = stated.axis_through_mm;
  part = part.translate(-x, -y, -z).rotate(0, 0, turn);
  if (stated.faces_that_meet === 'underside') part = part.rotate(180, 0, 0);
  const beads = stated.beads_half_width_mm;
  return { stated, base: part.trimByPlane([0, -1, 0], beads), lid: part.trimByPlane([0, 1, 0], beads) };
}

// What the halves have in common with the lid turned by an angle and lifted off the base.
function common({ base, lid }, angle, lift) {
  return base.intersect(lid.rotate(angle, 0, 0).translate(0, 0, lift)).volume();
}

let bad = 0;
function say(ok, words) {
  bad += !ok;
  console.log(`${ok ? 'ok  ' : 'FAIL'} ${words}`);
}

const asked = readFileSync(pack, 'utf8');
const shut = halves('shut', asked);
const room = common(shut, 180, ROOM), pushed = common(shut, 180, -PUSH);
const want = SHARE * PUSH * shut.stated.flange_gap.area_mm2;
say(room < NOTHING, `shut with ${ROOM} mm of room: ${room.toFixed(3)} mm3 in common (below ${NOTHING})`);
say(pushed > want, `pushed ${PUSH} mm further: ${pushed.toFixed(0)} mm3 in common (over ${want.toFixed(0)}, ${SHARE} of flange times push)`);
say(shut.stated.first_touch.clear, 'nothing is said to meet on the way');
for (const angle of [60, 120, 170, 178]) {
  const v = common(shut, angle, 0);
  say(v < NOTHING, `turned by ${angle} deg: ${v.toFixed(3)} mm3 in common`);
}

// A boss on the floor of the base that is too tall for the lid.
const tall = halves('tall', asked.replace(/(name: base\n(?: {4}.*\n)*)/, '$1    features:\n      - {kind: boss, diameter: 20, height: 34}\n'));
const touch = tall.stated.first_touch;
say(!touch.clear, `a boss is said to strike, at ${touch.angle_deg} deg, with ${touch.way_left_mm} mm of the way left`);
const before = common(tall, touch.angle_deg - 0.3, 0), after = common(tall, touch.angle_deg + 1.5, 0);
say(before < NOTHING, `0.3 deg before: ${before.toFixed(3)} mm3 in common`);
say(after > NOTHING, `1.5 deg after: ${after.toFixed(3)} mm3 in common`);

// The axis on the outer face: the flanges are two walls in each other.
const wrong = halves('wrong', asked.replace(/(kind: hinge_line\n)/, '$1    axis: underside\n'));
const gap = wrong.stated.flange_gap;
const half = common(wrong, 180, -gap.mean_mm / 2), lifted = common(wrong, 180, ROOM - gap.mean_mm);
const wall = SHARE * -gap.mean_mm / 2 * gap.area_mm2;
say(half > wall, `axis on the outer face, flanges said to be ${-gap.mean_mm} mm in each other: half of that lifted, ${half.toFixed(0)} mm3 in common (over ${wall.toFixed(0)})`);
say(lifted < NOTHING, `lifted by all of it and ${ROOM} mm: ${lifted.toFixed(3)} mm3 in common`);
process.exit(bad ? 1 : 0);
