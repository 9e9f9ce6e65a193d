// Every STL read by the Manifold library: a valid solid, whose volume and triangles are those the
// program states in its manifest.
// Source: npm package manifold-3d, version as installed by .ci/run.
// usage: node manifold.mjs MODULES FOLDER...   (FOLDER holds tool.stl and manifest.json)
import { readFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';

const MOST = 1e-5; // relative difference of the volume
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
  return { count, mesh: new Mesh({ numProp: 3, vertProperties: new Float32Array(vertProperties), triVerts }) };
}

let bad = 0;
for (const folder of folders) {
  const stated = JSON.parse(readFileSync(`${folder}/manifest.json`)).tool_mesh;
  const { count, mesh } = read(`${folder}/tool.stl`);
  let say, ok = false;
  try {
    const solid = new Manifold(mesh); // throws unless the status is NoError
    const off = solid.volume() / stated.volume_mm3 - 1;
    ok = solid.status() === 'NoError' && Math.abs(off) <= MOST && count === stated.triangles;
    say = `${solid.status()}, volume ${off.toExponential(1)} (at most ${MOST}), ${count} triangles`;
  } catch (e) {
    say = String(e.message ?? e);
  }
  bad += !ok;
  console.log(`${ok ? 'ok  ' : 'FAIL'} ${folder}: ${say}`);
}
process.exit(bad ? 1 : 0);
