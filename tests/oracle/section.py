#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""What VTK's cutter makes of an STL file: for each plane, given as six numbers (a point and a
normal) on a line of standard input, the length of the cut in mm and its area in mm².  The area
comes from the cut's segments by Green's theorem, each oriented by the surface's own normal.
Needs Debian's python3-vtk9."""
import sys

import numpy
from vtkmodules.util.numpy_support import vtk_to_numpy
from vtkmodules.vtkCommonDataModel import vtkPlane
from vtkmodules.vtkFiltersCore import vtkCutter, vtkPolyDataNormals
from vtkmodules.vtkIOGeometry import vtkSTLReader

reader = vtkSTLReader()
reader.SetFileName(sys.argv[1])
normals = vtkPolyDataNormals()
normals.SetInputConnection(reader.GetOutputPort())
normals.SplittingOff()
normals.ConsistencyOn()
normals.AutoOrientNormalsOn()

for line in sys.stdin:
    number = [float(word) for word in line.split()]
    plane = vtkPlane()
    plane.SetOrigin(number[:3])
    plane.SetNormal(number[3:])
    cutter = vtkCutter()
    cutter.SetCutFunction(plane)
    cutter.SetInputConnection(normals.GetOutputPort())
    cutter.Update()
    cut = cutter.GetOutput()
    length = area = 0.0
    if cut.GetNumberOfLines() > 0:
        point = vtk_to_numpy(cut.GetPoints().GetData()).astype(float)
        outward = vtk_to_numpy(cut.GetPointData().GetNormals()).astype(float)
        lines = vtk_to_numpy(cut.GetLines().GetConnectivityArray()).reshape(-1, 2)
        a, b = point[lines[:, 0]], point[lines[:, 1]]
        along = b - a
        piece = numpy.linalg.norm(along, axis=1)
        unit = numpy.array(number[3:]) / numpy.linalg.norm(number[3:])
        # In the plane, across each segment and to the outside: ∮ r·n ds = 2 A.
        across = numpy.cross(along, unit)
        out = outward[lines[:, 0]] + outward[lines[:, 1]]
        across *= numpy.sign(numpy.sum(across * out, axis=1))[:, None]
        middle = (a + b) / 2 - point.mean(axis=0)
        length = piece.sum()
        area = numpy.sum(middle * across) / 2
    print(f"{length:.9g} {area:.9g}")
