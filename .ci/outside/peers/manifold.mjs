// The Manifold library making a workload: pockets stitched from offset outlines, one subtraction, STL.
// The library has no draft and no fillets of its own; the strips are made here, their counts handed in.
// usage: node manifold.mjs MODULES NUMBERS.json OUT.stl
import { readFileSync, writeFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';

const [modules, numbers, out] = process.argv.slice(2);
const n = JSON.parse(readFileSync(numbers));
const { default: load } = await import(pathToFileURL(`${modules}/manifold-3d/manifold.js`));
const library = await load();
library.setup();
const { Manifold, Mesh } = library;

// A stack of rings, each a rounded rectangle moved out by d at the height z, closed above and below.
function stacked(half, corner, rings, steps) {
  const vert = [], tri = [], around = 4 * (steps + 1);
  for (const [d, z] of rings) {
    for (let q = 0; q < 4; q++) {
      for (let k = 0; k <= steps; k++) {
        const a = (q + k / steps) * Math.PI / 2, r = corner + d;
        vert.push(((q === 0 || q === 3) ? 1 : -1) * (half[0] - corner) + r * Math.cos(a),
          (q < 2 ? 1 : -1) * (half[1] - corner) + r * Math.sin(a), z);
      }
    }
  }
  for (let i = 0; i + 1 < rings.length; i++) {
    for (let k = 0; k < around; k++) {
      const a = i * around + k, b = i * around + (k + 1) % around;
      tri.push(a, b, b + around, a, b + around, a + around);
    }
  }
  const last = (rings.length - 1) * around;
  for (let k = 1; k + 1 < around; k++) tri.push(0, k + 1, k, last, last + k, last + k + 1);
  return new Manifold(new Mesh({ numProp: 3, vertProperties: Float32Array.from(vert), triVerts: Uint32Array.from(tri) }));
}

const block = stacked(n.block, n.round, [[0, n.base], [0, 0]], n.block_steps);
const pocket = stacked(n.size, n.corner, n.rings, n.steps);
const places = [];
for (let i = 0; i < n.grid[0]; i++) {
  for (let j = 0; j < n.grid[1]; j++) {
    places.push(pocket.translate([(i - (n.grid[0] - 1) / 2) * n.pitch[0], (j - (n.grid[1] - 1) / 2) * n.pitch[1], 0]));
  }
}
const body = Manifold.difference([block, ...places]);
const { vertProperties: v, triVerts: t, numProp } = body.getMesh();
const file = Buffer.alloc(84 + 50 * t.length / 3);
file.writeUInt32LE(t.length / 3, 80);
for (let i = 0; i < t.length; i++) {
  const at = 84 + 50 * Math.floor(i / 3) + 12 + 12 * (i % 3);
  for (let k = 0; k < 3; k++) file.writeFloatLE(v[t[i] * numProp + k], at + 4 * k);
}
writeFileSync(out, file);
