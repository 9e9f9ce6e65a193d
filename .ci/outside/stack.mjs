// Two formed parts of every folder, put together by the Manifold library as stack.json says: just above the
// pitch they must not run into each other, just below it they must.
// Source: npm package manifold-3d, version as installed by .ci/run.
// usage: node stack.mjs MODULES FOLDER...   (FOLDER holds part.stl and stack.json)
import { readFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';

// mm over the pitch, on the way down, and what may be shared there, mm3.
const ABOVE = [4, 2, 1, 0.5, 0.05], CLEAR = 0.005;
// mm under it, and the least that must be shared there, mm3: many times what is shared above it; a stroke
// that carries is a tenth of a square millimetre. Steep sides that wedge first touch at a point, and a
// millimetre lower they have come a tenth nearer.
const CARRIED = { below: 0.3, meets: 0.01 }, WEDGED = { below: 1, meets: 0.02 };
const [modules, ...folders] = process.argv.slice(2);
const { default: load } = await import(pathToFileURL(`${modules}/manifold-3d/manifold.js`));
const library = await load();
library.setup();
const { Manifold, Mesh } = library;

// Corners with the same coordinates are one vertex.
function read(path) {
  const file = readFileSync(path);
  const count = file.readUInt32LE(80);
  const index = new Map(), vertProperties = [], triVerts = new Uint32Array(3 * count);
  for (let i = 0; i < 3 * count; i++) {
    const at = 84 + 50 * Math.floor(i / 3) + 12 + 12 * (i % 3);
    const key = file.toString('latin1', at, at + 12);
    if (!index.has(key)) {
      index.set(key, index.size);
      for (let k = 0; k < 3; k++) vertProperties.push(file.readFloatLE(at + 4 * k));
    }
    triVerts[i] = index.get(key);
  }
  return new Mesh({ numProp: 3, vertProperties: new Float32Array(vertProperties), triVerts });
}

let bad = 0;
for (const folder of folders) {
  try {
    const stated = JSON.parse(readFileSync(`${folder}/stack.json`));
    const part = new Manifold(read(`${folder}/part.stl`));
    const [x, y] = stated.half_turn_about_mm;
    const turned = part.translate([-x, -y, 0]).rotate([0, 0, 180]).translate([x, y, 0]);
    for (const [name, upper, rest] of [['nest', part, stated.nest], ['half turn', turned, stated.half_turn]]) {
      const pitch = rest.pitch_mm, { below: down, meets } = rest.jams ? WEDGED : CARRIED;
      const shared = (z) => Manifold.intersection(part, upper.translate([0, 0, z])).volume();
      const above = Math.max(...ABOVE.map((z) => shared(pitch + z))), below = shared(pitch - down);
      const ok = above < CLEAR && below > meets;
      bad += !ok;
      console.log(`${ok ? 'ok  ' : 'FAIL'} ${folder} ${name}: pitch ${pitch.toFixed(3)} mm; shared ${above.toFixed(3)} mm3 from +${ABOVE[0]} down to +${ABOVE.at(-1)}, ${below.toFixed(2)} mm3 at -${down}`);
    }
  } catch (e) {
    bad++;
    console.log(`FAIL ${folder}: ${e.message ?? e}`);
  }
}
process.exit(bad ? 1 : 0);
