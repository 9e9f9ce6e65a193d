// Every STL read by the Manifold library: a valid solid, whose volume and triangles are those the
// program states in its manifest.
// usage: node manifold.mjs MODULES FOLDER...   (FOLDER holds tool.stl and manifest.json)
import { readFileSync } from 'node:fs';
import { library, read } from './solids.mjs';

const MOST = 1e-5; // relative difference of the volume
const [modules, ...folders] = process.argv.slice(2);
const { Manifold, Mesh } = await library(modules);

let bad = 0;
for (const folder of folders) {
  const stated = JSON.parse(readFileSync(`${folder}/manifest.json`)).tool_mesh;
  const { count, mesh } = read(`${folder}/tool.stl`, Mesh);
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
