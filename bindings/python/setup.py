"""Has CMake make the module. TOPRAIL_BUILD_DIR names a build to use instead of a fresh one."""

import atexit
import os
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from setuptools import Extension, setup
from setuptools.command.build_ext import build_ext

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent.parent


class MadeByCMake(build_ext):
    def build_extension(self, ext):
        build = os.environ.get("TOPRAIL_BUILD_DIR")
        if not build:
            build = str(Path(self.build_temp).resolve())
            subprocess.run(
                ["cmake", "-S", str(ROOT), "-B", build, "-G", "Ninja", "-DCMAKE_BUILD_TYPE=Release",
                 f"-DPYTHON_EXECUTABLE={sys.executable}", "-DTOPRAIL_PYTHON=ON", "-DTOPRAIL_C=OFF",
                 "-DTOPRAIL_TOOLS=OFF", "-DTOPRAIL_TESTS=OFF"],
                check=True,
            )
        subprocess.run(["cmake", "--build", build, "--target", "toprail_python"], check=True)
        target = Path(self.get_ext_fullpath(ext.name))
        target.parent.mkdir(parents=True, exist_ok=True)
        (made,) = Path(build, "bindings", "python", "toprail").glob("_core*.so")
        shutil.copy2(made, target)


# What setuptools leaves behind goes elsewhere: the sources stay as they are.
scratch = tempfile.mkdtemp(prefix="toprail-")
atexit.register(shutil.rmtree, scratch, ignore_errors=True)
version = re.search(r"VERSION (\d+\.\d+\.\d+)", (ROOT / "CMakeLists.txt").read_text())[1]
setup(
    version=version,
    ext_modules=[Extension("toprail._core", sources=[])],
    cmdclass={"build_ext": MadeByCMake},
    options={"build": {"build_base": scratch}, "egg_info": {"egg_base": scratch}},
)
