// Open CASCADE making a workload: ruled lofts, one subtraction, fillets, tessellation, STL.
// build: g++ -O2 -I/usr/include/opencascade -o occ occ.cpp -lTKSTL -lTKMesh -lTKFillet -lTKOffset -lTKBool -lTKBO -lTKTopAlgo -lTKPrim -lTKBRep -lTKGeomAlgo -lTKGeomBase -lTKG3d -lTKG2d -lTKMath -lTKernel
// usage: occ BLOCK_X BLOCK_Y ROUND BASE COLUMNS ROWS PITCH_X PITCH_Y SIZE_X SIZE_Y CORNER DEPTH DRAFT EDGE FLOOR DEFLECTION OUT.stl
// Lengths in mm, the draft in radians, sizes whole, the land at z = 0.
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <BRepAdaptor_Curve.hxx>
#include <BRepAlgoAPI_Cut.hxx>
#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRepBuilderAPI_MakeWire.hxx>
#include <BRepBuilderAPI_Transform.hxx>
#include <BRepFilletAPI_MakeFillet.hxx>
#include <BRepMesh_IncrementalMesh.hxx>
#include <BRepOffsetAPI_ThruSections.hxx>
#include <GC_MakeArcOfCircle.hxx>
#include <StlAPI_Writer.hxx>
#include <TopExp.hxx>
#include <TopTools_IndexedMapOfShape.hxx>
#include <TopTools_ListOfShape.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Wire.hxx>

static TopoDS_Wire ring(double x, double y, double corner, double z) {
  BRepBuilderAPI_MakeWire wire;
  const double sx[] = {1, -1, -1, 1}, sy[] = {1, 1, -1, -1};
  auto at = [&](int q, double turns) {
    return gp_Pnt(sx[q] * (x / 2 - corner) + corner * std::cos(turns * M_PI / 2),
                  sy[q] * (y / 2 - corner) + corner * std::sin(turns * M_PI / 2), z);
  };
  for (int q = 0; q < 4; q++) {
    wire.Add(BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(at(q, q), at(q, q + 0.5), at(q, q + 1)).Value()));
    wire.Add(BRepBuilderAPI_MakeEdge(at(q, q + 1), at((q + 1) % 4, q + 1)));
  }
  return wire.Wire();
}

static TopoDS_Shape loft(const TopoDS_Wire &low, const TopoDS_Wire &high) {
  BRepOffsetAPI_ThruSections make(Standard_True, Standard_True);
  make.AddWire(low);
  make.AddWire(high);
  make.Build();
  return make.Shape();
}

int main(int argc, char **argv) {
  if (argc != 18) return 2;
  double a[17];
  for (int i = 1; i < 17; i++) a[i] = std::atof(argv[i]);
  const double bx = a[1], by = a[2], round = a[3], base = a[4], px = a[7], py = a[8], x = a[9], y = a[10], corner = a[11],
               depth = a[12], lean = std::tan(a[13]), edge = a[14], floor = a[15];
  const int columns = int(a[5]), rows = int(a[6]);
  auto grown = [&](double z) { return ring(x + 2 * z * lean, y + 2 * z * lean, corner + z * lean, z); };
  const TopoDS_Shape pocket = loft(grown(-depth), grown(5));
  TopTools_ListOfShape body, tools;
  body.Append(loft(ring(bx, by, round, base), ring(bx, by, round, 0)));
  for (int i = 0; i < columns; i++)
    for (int j = 0; j < rows; j++) {
      gp_Trsf move;
      move.SetTranslation(gp_Vec((i - (columns - 1) / 2.0) * px, (j - (rows - 1) / 2.0) * py, 0));
      tools.Append(BRepBuilderAPI_Transform(pocket, move).Shape());
    }
  BRepAlgoAPI_Cut cut;
  cut.SetArguments(body);
  cut.SetTools(tools);
  cut.Build();
  BRepFilletAPI_MakeFillet fillet(cut.Shape());
  TopTools_IndexedMapOfShape edges;
  TopExp::MapShapes(cut.Shape(), TopAbs_EDGE, edges);
  for (int i = 1; i <= edges.Extent(); i++) {
    const BRepAdaptor_Curve c(TopoDS::Edge(edges(i)));
    const gp_Pnt from = c.Value(c.FirstParameter()), mid = c.Value((c.FirstParameter() + c.LastParameter()) / 2);
    const bool level = std::abs(from.Z() - mid.Z()) < 1e-6;
    const bool inside = std::abs(mid.X()) < columns * px / 2 - 0.4 * (px - x) && std::abs(mid.Y()) < rows * py / 2 - 0.4 * (py - y);
    if (level && std::abs(mid.Z() + depth) < 1e-6) fillet.Add(floor, TopoDS::Edge(edges(i)));
    if (level && std::abs(mid.Z()) < 1e-6 && inside) fillet.Add(edge, TopoDS::Edge(edges(i)));
  }
  fillet.Build();
  const TopoDS_Shape solid = fillet.Shape();
  BRepMesh_IncrementalMesh mesh(solid, a[16], Standard_False, 20, Standard_False);
  StlAPI_Writer writer;
  writer.ASCIIMode() = Standard_False;
  return writer.Write(solid, argv[17]) ? 0 : 1;
}
