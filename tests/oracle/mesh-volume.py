#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""What VTK makes of STL files: for each named file, one line with the enclosed volume in mm³ and
the number of open or doubled edges.  Needs Debian's python3-vtk9."""
import sys

from vtkmodules.vtkFiltersCore import vtkFeatureEdges, vtkMassProperties
from vtkmodules.vtkIOGeometry import vtkSTLReader

for path in sys.argv[1:]:
    reader = vtkSTLReader()
    reader.SetFileName(path)
    reader.Update()

    mass = vtkMassProperties()
    mass.SetInputConnection(reader.GetOutputPort())
    mass.Update()

    edges = vtkFeatureEdges()
    edges.SetInputConnection(reader.GetOutputPort())
    edges.FeatureEdgesOff()
    edges.BoundaryEdgesOn()
    edges.NonManifoldEdgesOn()
    edges.ManifoldEdgesOff()
    edges.Update()
    print(f"{mass.GetVolume():.9g} {edges.GetOutput().GetNumberOfCells()}")
