"""What `pyproject.toml` cannot say: the library lies beside the source in a clone, in the package once installed."""

from setuptools import find_namespace_packages, setup

setup(
    package_dir={"": "generator", "handwheel.library": "content"},
    packages=[*find_namespace_packages("generator"), "handwheel.library"],
)
