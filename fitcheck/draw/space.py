"""View in space: actors from plain arrays, and a small program that photographs them.

This file imports nothing of fitcheck, so that it also runs by itself: VTK ends the whole process where
there is no working OpenGL, and a photograph must not take the answer with it. The program reads the
arrays (numpy's npz) from standard input and writes the pixels to standard output, or opens
a window. The photograph is taken with VTK alone, because a plotter's own imports take longer than it does.

Measured with VTK 9.7: translucent surfaces come out right only with depth peeling and without
anti-aliasing; smooth edges come from photographing at a larger size and shrinking afterwards.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from io import BytesIO
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]
Colour = tuple[float, float, float]

_EDGE_DEG = 30.0
# Layers of clear surfaces drawn exactly: liquid, tank and standing things, front and back.
_PEELS = 8
# A part that is seen through has at least four of its own, and its pockets two.
_PEELS_THROUGH = 16
_PAPER = (0.984, 0.980, 0.969)
_NAMES = ("tank", "liquid", "part", "through", "past", "standing", "air", "caught")


@dataclass(frozen=True, slots=True)
class Look:
    """How one thing is shown: its colour, how much of what is behind it it hides, its edges' colour."""

    colour: Colour
    opacity: float
    edges: Colour | None
    edge_pt: float = 1.0


LOOKS = {
    "tank": Look((0.79, 0.77, 0.73), 0.10, (0.11, 0.12, 0.14), 1.6),
    "liquid": Look((0.56, 0.76, 0.90), 0.22, (0.04, 0.31, 0.53), 1.6),
    "part": Look((0.55, 0.60, 0.65), 1.0, (0.11, 0.12, 0.14), 0.8),
    "through": Look((0.55, 0.60, 0.65), 0.16, (0.11, 0.12, 0.14), 0.9),
    "past": Look((0.85, 0.35, 0.08), 1.0, (0.45, 0.15, 0.02), 1.2),
    "standing": Look((0.86, 0.81, 0.68), 0.55, (0.42, 0.45, 0.48), 0.8),
    "air": Look((0.93, 0.73, 0.33), 0.85, (0.49, 0.29, 0.0), 1.2),
    "caught": Look((0.56, 0.76, 0.90), 0.85, (0.04, 0.31, 0.53), 1.2),
}


@dataclass(frozen=True, slots=True, eq=False)
class Camera:
    """Where the eye is and what it looks at, in tank mm; half_height_mm: half of what it sees, upright.

    Lines that are parallel in the tank are parallel in the view.
    """

    eye_mm: Floats
    focus_mm: Floats
    half_height_mm: float


@dataclass(frozen=True, slots=True, eq=False)
class SpaceScene:
    """What stands in space: for each of the looks above its mesh, if any.

    "part" is the metal, "through" the metal seen through, "past" what reaches past a clearance; "air" and
    "caught" are pockets of air and of liquid. cut_short: only a stretch of the tank's length is shown.
    """

    meshes: tuple[tuple[str, Floats, Indices], ...]
    camera: Camera
    cut_short: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Order:
    """What the program is asked for: a scene, the size to show it in, and words for a window's corner."""

    scene: SpaceScene
    size: tuple[int, int]
    words: str = ""


def packed(scene: SpaceScene, size: tuple[int, int], words: str = "") -> bytes:
    """Return an order as bytes for the program."""
    camera = np.array([*scene.camera.eye_mm, *scene.camera.focus_mm, scene.camera.half_height_mm])
    arrays: dict[str, Any] = {"camera": camera, "size": np.array(size), "words": np.array(words)}
    for name, vertices, triangles in scene.meshes:
        arrays[f"{name}_vertices"], arrays[f"{name}_triangles"] = vertices, triangles
    store = BytesIO()
    np.savez(store, **arrays)
    return store.getvalue()


def unpacked(content: bytes) -> Order:
    """Return the order that `packed` wrote."""
    with np.load(BytesIO(content), allow_pickle=False) as arrays:
        camera = arrays["camera"]
        meshes = tuple(
            (name, arrays[f"{name}_vertices"], arrays[f"{name}_triangles"])
            for name in _NAMES
            if f"{name}_vertices" in arrays
        )
        width, height = (int(v) for v in arrays["size"])
        words = str(arrays["words"])
    scene = SpaceScene(meshes, Camera(camera[:3], camera[3:6], float(camera[6])))
    return Order(scene, (width, height), words)


def actors(scene: SpaceScene, line_scale: float = 1.0) -> list[Any]:
    """Return the VTK actors of a scene; line_scale: pixels to a point of line width."""
    made: list[Any] = []
    for name, vertices, triangles in scene.meshes:
        look = LOOKS[name]
        mesh = _mesh(vertices, triangles)
        body = _actor(mesh, look.colour, look.opacity)
        if look.opacity < 1.0:
            body.GetProperty().LightingOff()
        if name == "tank":
            # Only the far walls and the floor are tinted: nothing of the tank is in front of the part.
            body.GetProperty().FrontfaceCullingOn()
        made.append(body)
        if look.edges is not None:
            lines = _actor(_sharp_edges(mesh), look.edges, 1.0)
            lines.GetProperty().SetLineWidth(look.edge_pt * line_scale)
            lines.GetProperty().LightingOff()
            made.append(lines)
    return made


def _peels(scene: SpaceScene) -> int:
    return _PEELS_THROUGH if any(name == "through" for name, _, _ in scene.meshes) else _PEELS


def _mesh(vertices: Floats, triangles: Indices) -> Any:
    from vtkmodules.util.numpy_support import numpy_to_vtk, numpy_to_vtkIdTypeArray
    from vtkmodules.vtkCommonCore import vtkPoints
    from vtkmodules.vtkCommonDataModel import vtkCellArray, vtkPolyData

    points = vtkPoints()
    points.SetData(numpy_to_vtk(np.ascontiguousarray(vertices), deep=True))  # type: ignore[no-untyped-call]
    cells = vtkCellArray()
    starts = np.arange(0, 3 * len(triangles) + 1, 3, dtype=np.int64)
    corners = np.ascontiguousarray(triangles, dtype=np.int64).ravel()
    ids = [numpy_to_vtkIdTypeArray(each, deep=True) for each in (starts, corners)]  # type: ignore[no-untyped-call]
    cells.SetData(*ids)
    mesh = vtkPolyData()
    mesh.SetPoints(points)
    mesh.SetPolys(cells)
    return mesh


def _sharp_edges(mesh: Any) -> Any:
    from vtkmodules.vtkFiltersCore import vtkFeatureEdges

    edges = vtkFeatureEdges()
    edges.SetInputData(mesh)
    edges.SetFeatureAngle(_EDGE_DEG)
    edges.BoundaryEdgesOff()
    edges.NonManifoldEdgesOff()
    edges.ColoringOff()
    edges.Update()
    return edges.GetOutput()


def _actor(mesh: Any, colour: Colour, opacity: float) -> Any:
    from vtkmodules.vtkRenderingCore import vtkActor, vtkPolyDataMapper

    mapper = vtkPolyDataMapper()
    mapper.SetInputData(mesh)
    mapper.ScalarVisibilityOff()
    # Edges lie in the faces they bound: draw them a hair nearer, or they come out broken.
    mapper.SetResolveCoincidentTopologyToPolygonOffset()
    actor = vtkActor()
    actor.SetMapper(mapper)
    look = actor.GetProperty()
    look.SetColor(*colour)
    look.SetOpacity(opacity)
    look.SetInterpolationToFlat()
    look.SetAmbient(0.35)
    look.SetDiffuse(0.8)
    return actor


def lights() -> list[Any]:
    """Return the lights: one over the reader's left shoulder, a weak one from the right."""
    from vtkmodules.vtkRenderingCore import vtkLight

    made = []
    for place, strength in (((-0.6, 0.9, 1.0), 0.85), ((1.0, 0.1, 0.6), 0.3)):
        light = vtkLight()
        light.SetLightTypeToCameraLight()
        light.SetPosition(*place)
        light.SetIntensity(strength)
        made.append(light)
    return made


def aim(renderer: Any, camera: Camera) -> None:
    """Point a VTK renderer's camera."""
    eye = renderer.GetActiveCamera()
    eye.SetPosition(*camera.eye_mm)
    eye.SetFocalPoint(*camera.focus_mm)
    eye.SetViewUp(0.0, 0.0, 1.0)
    eye.ParallelProjectionOn()
    eye.SetParallelScale(camera.half_height_mm)
    renderer.ResetCameraClippingRange()


def photograph(scene: SpaceScene, size: tuple[int, int], line_scale: float = 3.0) -> NDArray[np.uint8]:
    """Return the pixels (height, width, 3) of the scene. Ends the process where there is no OpenGL."""
    import vtkmodules.vtkRenderingOpenGL2  # noqa: F401  (makes the drawing classes below usable)
    from vtkmodules.util.numpy_support import vtk_to_numpy
    from vtkmodules.vtkRenderingCore import vtkRenderer, vtkRenderWindow, vtkWindowToImageFilter

    renderer = vtkRenderer()
    renderer.SetBackground(*_PAPER)
    window = vtkRenderWindow()
    window.SetOffScreenRendering(1)
    window.SetSize(*size)
    window.SetMultiSamples(0)
    window.SetAlphaBitPlanes(1)
    window.AddRenderer(renderer)
    renderer.UseDepthPeelingOn()
    renderer.SetMaximumNumberOfPeels(_peels(scene))
    renderer.SetOcclusionRatio(0.0)
    for actor in actors(scene, line_scale):
        renderer.AddActor(actor)
    for light in lights():
        renderer.AddLight(light)
    aim(renderer, scene.camera)
    window.Render()
    reader = vtkWindowToImageFilter()
    reader.SetInput(window)
    reader.ReadFrontBufferOff()
    reader.Update()
    width, height = size
    flat = vtk_to_numpy(reader.GetOutput().GetPointData().GetScalars())  # type: ignore[no-untyped-call]
    pixels: NDArray[np.uint8] = flat.reshape(height, width, 3)[::-1].copy()
    return pixels


def window(order: Order, *, off_screen: bool = False) -> Any:
    """Return a pyvista plotter with the scene in it, ready to be shown."""
    import pyvista as pv

    # The library's decorators hide the types of its methods.
    plotter: Any = pv.Plotter(
        window_size=list(order.size), title="fitcheck", off_screen=off_screen, lighting="none"
    )
    plotter.set_background(_PAPER)
    plotter.enable_depth_peeling(_peels(order.scene))
    plotter.disable_anti_aliasing()
    for actor in actors(order.scene, 1.5):
        plotter.add_actor(actor, reset_camera=False)
    for light in lights():
        plotter.renderer.AddLight(light)
    plotter.add_text(order.words, position="upper_left", font_size=12, color="black")
    plotter.add_axes(xlabel="length", ylabel="width", zlabel="up", color="black")
    aim(plotter.renderer, order.scene.camera)
    return plotter


def main(task: str) -> None:
    """Read an order from standard input; open a window, or write the photograph to standard output."""
    order = unpacked(sys.stdin.buffer.read())
    if task == "window":
        window(order).show()
        return
    sys.stdout.buffer.write(photograph(order.scene, order.size).tobytes())


if __name__ == "__main__":
    main(sys.argv[1])
