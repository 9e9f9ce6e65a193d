"""Binary STL read with the standard library and numpy alone: volume, area, relief.

Source: the binary STL layout (80 bytes of header, a 32-bit count, 50 bytes a facet), the divergence
theorem for the volume, the cross product for the area.
"""
import numpy as np

FACET = np.dtype([("normal", "<3f4"), ("corner", "<9f4"), ("attribute", "<u2")])


def facets(path):
    """Corners of the facets, an array of n x 3 x 3."""
    with open(path, "rb") as f:
        head = f.read(84)
        data = f.read()
    count = int.from_bytes(head[80:84], "little")
    if len(data) != count * FACET.itemsize:
        raise ValueError(f"{path}: {count} facets announced, {len(data)} bytes follow")
    return np.frombuffer(data, FACET)["corner"].astype(float).reshape(-1, 3, 3)


def volume_and_area(path):
    a, b, c = facets(path).transpose(1, 0, 2)
    cross = np.cross(b - a, c - a)
    volume = np.einsum("ij,ij->i", a - a[0], cross).sum() / 6
    return volume, np.linalg.norm(cross, axis=1).sum() / 2


def relief(path, level):
    """Volume of the face above the level, less that below it: the features without the block, whose
    sides stand upright. The base lies at z = 0."""
    a, b, c = facets(path).transpose(1, 0, 2)
    plan = np.cross((b - a)[:, :2], (c - a)[:, :2]) / 2
    height = (a + b + c)[:, 2] / 3 - level
    return (plan * height)[np.abs(height + level) > 1e-6].sum()
