// Reads one 3MF in strict mode: no warning, one mesh, manifold and oriented, unit millimetre, triangles
// and volume as the program states.
// Source: lib3mf 1.8 (Debian package lib3mf-dev).
// usage: threemf FILE.3mf TRIANGLES VOLUME
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <vector>

#include "Model/COM/NMR_DLLInterfaces.h"

using namespace NMR;

static void must(LIB3MFRESULT result, const char* what) {
	if (result != LIB3MF_OK) {
		std::printf("FAIL %s: error %lx\n", what, static_cast<unsigned long>(result));
		std::exit(1);
	}
}

// Six times the volume by the divergence theorem.
static double volume6(const std::vector<MODELMESHVERTEX>& v, const std::vector<MODELMESHTRIANGLE>& t) {
	double sum = 0;
	for (const auto& f : t) {
		const float *a = v[f.m_nIndices[0]].m_fPosition, *b = v[f.m_nIndices[1]].m_fPosition, *c = v[f.m_nIndices[2]].m_fPosition;
		sum += double(a[0]) * (double(b[1]) * c[2] - double(b[2]) * c[1]) + double(a[1]) * (double(b[2]) * c[0] - double(b[0]) * c[2]) +
		       double(a[2]) * (double(b[0]) * c[1] - double(b[1]) * c[0]);
	}
	return sum;
}

int main(int argc, char** argv) {
	if (argc != 4) return 2;
	PLib3MFModel* model;
	PLib3MFModelReader* reader;
	PLib3MFModelResourceIterator* meshes;
	PLib3MFModelResource* mesh;
	DWORD warnings, unit, triangles, vertices;
	BOOL more, oriented;
	must(lib3mf_createmodel(&model), "model");
	must(lib3mf_model_queryreader(model, "3mf", &reader), "reader");
	must(lib3mf_reader_setstrictmodeactive(reader, true), "strict mode");
	must(lib3mf_reader_readfromfileutf8(reader, argv[1]), argv[1]);
	must(lib3mf_reader_getwarningcount(reader, &warnings), "warnings");
	must(lib3mf_model_getunit(model, &unit), "unit");
	must(lib3mf_model_getmeshobjects(model, &meshes), "meshes");
	must(lib3mf_resourceiterator_movenext(meshes, &more), "first mesh");
	if (!more) return std::printf("FAIL %s: no mesh\n", argv[1]), 1;
	must(lib3mf_resourceiterator_getcurrent(meshes, &mesh), "mesh");
	must(lib3mf_resourceiterator_movenext(meshes, &more), "second mesh");
	must(lib3mf_meshobject_ismanifoldandoriented(mesh, &oriented), "orientation");
	must(lib3mf_meshobject_getvertexcount(mesh, &vertices), "vertices");
	must(lib3mf_meshobject_gettrianglecount(mesh, &triangles), "triangles");
	std::vector<MODELMESHVERTEX> v(vertices);
	std::vector<MODELMESHTRIANGLE> t(triangles);
	must(lib3mf_meshobject_getvertices(mesh, v.data(), vertices, nullptr), "vertices");
	must(lib3mf_meshobject_gettriangleindices(mesh, t.data(), triangles, nullptr), "triangles");
	const double off = volume6(v, t) / 6 / std::atof(argv[3]) - 1;
	const bool ok = warnings == 0 && !more && oriented && unit == MODELUNIT_MILLIMETER &&
	                triangles == std::strtoul(argv[2], nullptr, 10) && std::fabs(off) <= 1e-5;
	std::printf("%s %s: %u warnings, %s, unit %u, %u triangles, volume %+.1e\n", ok ? "ok  " : "FAIL", argv[1], warnings,
	            oriented ? "manifold and oriented" : "NOT manifold and oriented", unit, triangles, off);
	return ok ? 0 : 1;
}
