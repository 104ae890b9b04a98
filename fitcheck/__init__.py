"""Does the part go under, tilted how, on how much liquid? Answers with a witness or a proof."""

import lazy_loader

# Public names stand in `__init__.pyi`; each is loaded when it is first asked for, so that this is quick.
__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
