// Two formed parts of every folder, put together by the Manifold library as stack.json says: just above the
// pitch they must not run into each other, just below it they must. Told a pitch that is wrong, this very check
// must fail.
// usage: node stack.mjs MODULES FOLDER...   (FOLDER holds part.stl and stack.json)
import { readFileSync } from 'node:fs';
import { library, read } from './solids.mjs';

// mm over the pitch, on the way down, and what may be shared there, mm3: two facetted sides of a steep wall
// differ from the smooth ones by some microns.
const ABOVE = [4, 2, 1, 0.5, 0.05], CLEAR = 5e-3;
// mm under it, the least that must be shared there, mm3, and how many times what is shared above. Steep sides
// that wedge first touch at a point, so it may be little, but never little more than before.
const BELOW = 0.3, MEETS = 5e-4, TIMES = 100;
const WRONG = 0.4; // mm by which a pitch is told wrong to see that it is found
const [modules, ...folders] = process.argv.slice(2);
const { Manifold, Mesh } = await library(modules);

// judge returns what two parts share above and below a pitch, and whether that is as it must be.
function judge(shared, pitch) {
  const above = Math.max(...ABOVE.map((z) => shared(pitch + z)));
  const below = shared(pitch - BELOW);
  return { above, below, ok: above < CLEAR && below > MEETS && below > TIMES * above };
}

let bad = 0;
for (const folder of folders) {
  try {
    const stated = JSON.parse(readFileSync(`${folder}/stack.json`));
    const part = new Manifold(read(`${folder}/part.stl`, Mesh).mesh);
    const [x, y] = stated.half_turn_about_mm;
    const turned = part.translate([-x, -y, 0]).rotate([0, 0, 180]).translate([x, y, 0]);
    for (const [name, upper, rest] of [['nest', part, stated.nest], ['half turn', turned, stated.half_turn]]) {
      const pitch = rest.pitch_mm;
      const shared = (z) => Manifold.intersection(part, upper.translate([0, 0, z])).volume();
      const { above, below, ok } = judge(shared, pitch);
      const missed = [WRONG, -WRONG].filter((by) => judge(shared, pitch + by).ok);
      bad += !ok || missed.length > 0;
      console.log(`${ok ? 'ok  ' : 'FAIL'} ${folder} ${name}: pitch ${pitch.toFixed(3)} mm; shared ${above.toFixed(6)} mm3 from +${ABOVE[0]} down to +${ABOVE.at(-1)}, ${below.toFixed(4)} mm3 at -${BELOW}`);
      for (const by of missed) console.log(`FAIL ${folder} ${name}: a pitch told wrong by ${by} mm would pass`);
    }
  } catch (e) {
    bad++;
    console.log(`FAIL ${folder}: ${e.message ?? e}`);
  }
}
process.exit(bad ? 1 : 0);
