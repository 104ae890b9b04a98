"""Pictures of files that commands write: the page of `view` on a phone, the bodies of `export` as read."""

from __future__ import annotations

import shutil
from pathlib import Path

from PIL import Image

from fitcheck.draw.ink import BLOCK, INK, LIQUID, METAL, PAPER

# A phone held upright, and how long its page takes to draw.
PHONE_PX, DRAWN_MS = (412, 780), 4_000


def draw_view(page: Path, picture: Path) -> None:
    """Draw the page of `view` half let down, and with the part in place; by chromium."""
    from playwright.sync_api import sync_playwright

    flags = ["--no-sandbox", "--enable-unsafe-swiftshader", "--use-angle=swiftshader"]
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=shutil.which("chromium"), args=flags)
        seen = browser.new_page(viewport={"width": PHONE_PX[0], "height": PHONE_PX[1]})
        seen.goto(page.resolve().as_uri())
        seen.wait_for_timeout(DRAWN_MS)
        slider = seen.locator("#down")
        last = int(slider.get_attribute("max") or 0)
        for step in (last // 2, last):
            slider.fill(str(step))
            seen.wait_for_timeout(DRAWN_MS)
            seen.screenshot(path=picture.with_name(f"{step == last}.png"))
        browser.close()
    both = Image.new("RGB", (2 * PHONE_PX[0], PHONE_PX[1]))
    for k in (False, True):
        both.paste(Image.open(picture.with_name(f"{k}.png")), (k * PHONE_PX[0], 0))
    both.save(picture)


def draw_export(file: Path, part: str, picture: Path) -> None:
    """Draw the bodies of a GLB file, each with its name, as a reader of such files has them."""
    import pyvista as pv
    import trimesh

    plotter = pv.Plotter(off_screen=True, window_size=(1000, 560))
    plotter.set_background(PAPER)
    read = trimesh.load_scene(file)
    for name, body in read.geometry.items():
        inside = name.endswith(" inside")
        mesh = pv.wrap(body)
        shown = {"color": LIQUID, "opacity": 0.25} if inside else {"color": METAL if name == part else BLOCK}
        plotter.add_mesh(mesh, ambient=0.6, diffuse=0.5, **shown)
        plotter.add_mesh(mesh.extract_feature_edges(30.0), color=INK, line_width=2)
        top = mesh.points[mesh.points[:, 1].argmax()] if inside else mesh.points.max(axis=0)
        looks = {"font_size": 26, "text_color": INK, "shape_color": PAPER, "shape_opacity": 0.9}
        plotter.add_point_labels([top], [name], show_points=False, always_visible=True, **looks)
    # A GLB file has y up.
    plotter.camera_position = [(1.9, 1.3, 2.6), (0.6, 0.2, -0.3), (0.0, 1.0, 0.0)]
    plotter.enable_parallel_projection()
    plotter.reset_camera()
    plotter.camera.zoom(1.3)
    plotter.screenshot(str(picture))
    plotter.close()
