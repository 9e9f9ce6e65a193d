// Solids of the Manifold library from STL files.
// Source: npm package manifold-3d, version as installed by .ci/run.
import { readFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';

// library returns the Manifold library of a folder of modules.
export async function library(modules) {
  const { default: load } = await import(pathToFileURL(`${modules}/manifold-3d/manifold.js`));
  const loaded = await load();
  loaded.setup();
  return loaded;
}

// read returns the mesh of a binary STL and how many triangles it has. Corners with the same coordinates are
// one vertex.
export function read(path, Mesh) {
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
