"""rope-mechanics for Python by ctypes: nothing to install. Made from include/api.json when it is imported.

CAUTION. An aid for planning and training by qualified people. It is not a certified safety function and must never be the
only limit on a load. The inputs, the inspection and the equipment are the user's; results are estimates, good to about
+-15 % in tension where nothing was measured. Local codes, makers' instructions and the authority having jurisdiction come
first.

    import rope_mechanics as rm
    line = rm.line(span=rm.m(52), rise=rm.m(-31), length=rm.m(60), weight=rm.n_per_m(1.804))
    line.stretch.a = rm.kn(124)
    print(rm.in_lbf(rm.line_solve(line).first_tension))

Quantities are floats in SI: rm.lbf(875) is 3892.19, rm.in_lbf(3892.19) is 875. Nothing keeps a length from being used as a
force: name units where numbers enter. Structs and functions have the names of rope_mechanics.h without rmech_, constants
without RMECH_. A function takes its inputs in the order of the header, arrays as sequences (or numpy arrays) without their
lengths, and returns its outputs: one, or a tuple. A failure raises rm.Failure. help(rm.line_solve) has the comments.
Handles (rig, operation, ...) are classes, their functions methods; with `with`, or when nothing refers to them, they are
freed. Where numpy is installed, arrays come out as numpy arrays, else as lists.

The library: ROPE_MECHANICS_LIBRARY, else target/release of this repository.
"""
import ctypes
import json
import os
import pathlib

try:
    import numpy
except ImportError:
    numpy = None

_top = pathlib.Path(__file__).resolve().parents[2]
_api = json.loads((_top / "include/api.json").read_text("utf-8"))
_library = ctypes.CDLL(os.environ.get("ROPE_MECHANICS_LIBRARY", str(_top / "target/release/librope_mechanics.so")))

_types = {
    "double": ctypes.c_double, "float": ctypes.c_float, "int32_t": ctypes.c_int32, "uint32_t": ctypes.c_uint32,
    "uint64_t": ctypes.c_uint64, "size_t": ctypes.c_size_t, "char": ctypes.c_char,
}


class Failure(Exception):
    """Why a call failed: status, field (the input at fault), message."""

    def __init__(self, status, field, message):
        super().__init__(message or f"status {status}")
        self.status, self.field = status, field


def _struct(of):
    fields = []
    for member in of["members"]:
        kind = _types[member["type"]]
        if "length" in member:
            kind = ctypes.POINTER(kind)
        fields.append((member["name"], kind * member["count"] if "count" in member else kind))
    lists = {member["name"]: member for member in of["members"] if "length" in member}

    names = [member["name"] for member in of["members"]]

    def __init__(self, *values, **given):
        ctypes.Structure.__init__(self)
        if of["grows"]:
            self.struct_size = of["size"]
        if len(values) > len(names) or not given.keys() <= set(names):
            raise TypeError(f"{of['name'][6:]} has the members {', '.join(names)}")
        for name, value in [*zip(names, values), *given.items()]:
            setattr(self, name, value)

    def __setattr__(self, name, value):
        if name in lists and lists[name]["length"] != "1":  # a list, which sets its count too and is kept alive
            value, count = _array(_types[lists[name]["type"]], value)
            ctypes.Structure.__setattr__(self, lists[name]["length"], count)
            self.__dict__[name] = value
            value = ctypes.cast(value, ctypes.POINTER(_types[lists[name]["type"]]))
        elif name in lists:
            self.__dict__[name] = value
            value = ctypes.pointer(value)
        elif isinstance(value, (tuple, list)) and name in dict(fields):
            value = dict(fields)[name](*value)
        ctypes.Structure.__setattr__(self, name, value)

    def __repr__(self):
        return f"{type(self).__name__}({', '.join(f'{name}={getattr(self, name)!r}' for name, _ in fields)})"

    doc = of["doc"] + "\n\n" + "\n".join(f"{one['name']}: {one['doc']}" for one in of["members"])
    body = {"_fields_": fields, "__init__": __init__, "__setattr__": __setattr__, "__repr__": __repr__, "__doc__": doc}
    made = type(of["name"][6:], (ctypes.Structure,), body)
    assert ctypes.sizeof(made) == of["size"], of["name"]
    for member in of["members"]:
        assert getattr(made, member["name"]).offset == member["offset"], member
    return made


def _array(kind, values):
    """An array of C from a sequence, and its length. A numpy array of the right layout is used as it is."""
    if numpy is not None and isinstance(values, numpy.ndarray):
        values = numpy.ascontiguousarray(values)
        if values.dtype.itemsize != ctypes.sizeof(kind):
            raise TypeError(f"elements of {values.dtype.itemsize} bytes, but {ctypes.sizeof(kind)} are needed")
        array = (kind * len(values)).from_buffer_copy(values)
        return array, len(values)
    values = [kind(*value) if isinstance(value, tuple) else value for value in values]
    return (kind * len(values))(*values), len(values)


def _out(array, kind):
    if numpy is not None:
        return numpy.ctypeslib.as_array(array) if len(array) else numpy.empty(0, numpy.dtype(kind))
    return list(array)


for _one in _api["structs"]:
    _quantity = _one["quantity"]
    _types[_one["name"]] = ctypes.c_double if _quantity else _struct(_one)
    if not _quantity:
        globals()[_one["name"][6:]] = _types[_one["name"]]
for _one in _api["constants"]:
    globals()[_one["name"][6:]] = _one["value"]
for _one in _api["units"]:
    globals()[_one["build"][6:]] = lambda value, _size=_one["size"]: value * _size
    globals()[_one["read"][6:]] = lambda si, _size=_one["size"]: si / _size


def celsius(degrees):
    """A temperature in kelvin."""
    return degrees + 273.15


def in_celsius(kelvin):
    """A temperature in degrees Celsius."""
    return kelvin - 273.15


class Handle:
    """What the library made and destroys."""

    _name = ""

    def __init__(self, pointer):
        self._pointer = pointer

    def close(self):
        """Destroys it, if it is not yet."""
        if self._pointer:
            getattr(_library, self._name + "_destroy")(self._pointer)
            self._pointer = None

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.close()

    __del__ = close


def _function(of):
    call = getattr(_library, of["name"])
    inputs = {"in", "in-array", "number", "text", "bytes", "handle"}
    parameters = of["parameters"]
    lengths = {one["length"] for one in parameters if one["role"] in ("in-array", "bytes", "buffer", "view")}
    taken = [one["name"] for one in parameters if one["role"] in inputs
             or one["role"] == "size" and one["name"] not in lengths and "enough" not in one]
    call.restype = {"status": ctypes.c_int32, "const char *": ctypes.c_char_p, "uint32_t": ctypes.c_uint32,
                    "void": None}[of["returns"]]

    def prepare(values):
        """The arguments, what comes back of them, and what must live until then."""
        given, back, alive = [], [], []
        for one in (one for one in parameters if one["role"] == "in-array"):
            values[one["name"]], count = _array(_types[one["type"]], values[one["name"]])
            if values.setdefault(one["length"], count) != count:
                raise ValueError(f"{one['name']} has {count} elements, but {values[one['length']]} are needed")
        for one in parameters:
            name, role, kind = one["name"], one["role"], _types.get(one["type"])
            if "enough" in one:
                values[name] = eval(one["enough"], {}, values)
            if role == "number":
                value = kind(values[name])
            elif role == "size":
                value = ctypes.c_size_t(values.get(name, 0))
            elif role == "in":
                value = values[name]
                if value is not None:
                    value = ctypes.byref(value if isinstance(value, kind) else kind(*value) if isinstance(value, tuple) else kind(value))
            elif role == "in-array":
                value = values[name]
            elif role in ("text", "bytes"):
                value = values[name].encode() if isinstance(values[name], str) else values[name]
                if role == "bytes":
                    values[one["length"]] = len(value)
            elif role == "handle":
                value = ctypes.c_void_p(values[name]._pointer)
            elif role == "new-handle":
                made = ctypes.c_void_p()
                back.append(lambda made=made, of=one["type"]: _handles[of](made.value))
                value = ctypes.byref(made)
            elif role == "out":
                made = kind()
                if one["type"] != "size_t" or not {"view", "buffer"} & {other["role"] for other in parameters}:
                    back.append(lambda made=made: getattr(made, "value", made))
                values[name] = made
                value = ctypes.byref(made)
            elif role == "out-array":
                made = (kind * eval(one["length"], {}, values))()
                counted = name.rstrip("s") + "_count"
                back.append(lambda made=made, kind=kind, counted=counted: _out(made, kind)[:getattr(values.get(counted), "value", None)])
                value = made
            elif role == "view":
                text, size = ctypes.c_char_p(), one["length"]
                back.append(lambda text=text, size=size: ctypes.string_at(text, values[size].value).decode())
                value = ctypes.byref(text)
            elif role == "buffer":
                value = values.get("buffer")
            elif role == "error":
                value = ctypes.byref(values["error"])
            alive.append(value)
            given.append(value)
        return given, back, alive

    def function(*arguments):
        if len(arguments) > len(taken) or len(arguments) < len([n for n in taken if n not in optional]):
            raise TypeError(f"{function.__name__}({', '.join(taken)}) takes {len(taken)} arguments")
        values = dict(zip(taken, arguments + (None,) * (len(taken) - len(arguments))))
        if of["returns"] != "status":
            return call(*(_types[one["type"]](values[one["name"]]) for one in parameters))
        error = values["error"] = _types["rmech_error"]()

        def run(given):
            status = call(*given)
            if status != OK:  # noqa: F821 - a constant of the interface
                raise Failure(status, error.field.decode(), error.message.decode())

        given, back, _alive = prepare(values)
        run(given)
        if "buffer" in {one["role"] for one in parameters}:  # it said how much room it needs
            needed = values["needed"].value
            values["buffer"], values["capacity"] = ctypes.create_string_buffer(needed), needed
            given, back, _alive = prepare(values)
            run(given)
            return values["buffer"].value.decode()
        back = [one() for one in back]
        return back[0] if len(back) == 1 else tuple(back) or None

    optional = {one["name"] for one in parameters if one.get("optional")}
    function.__name__ = of["name"][6:]
    function.__doc__ = f"{function.__name__}({', '.join(taken)})\n\n{of['doc']}"
    return function


_handles = {}
for _one in _api["handles"]:
    _handles[_one["name"]] = type(_one["name"][6:], (Handle,), {"_name": _one["name"], "__doc__": _one["doc"]})
    globals()[_one["name"][6:]] = _handles[_one["name"]]
    getattr(_library, _one["destroy"]).argtypes = [ctypes.c_void_p]
    getattr(_library, _one["destroy"]).restype = None
for _one in _api["functions"]:
    _roles = [one["role"] for one in _one["parameters"]]
    if _one["returns"] == "void" or "memory" in _roles:
        continue
    _made = _function(_one)
    _owner = [one["type"] for one in _one["parameters"] if one["role"] == "handle"]
    _maker = [one["type"] for one in _one["parameters"] if one["role"] == "new-handle"]
    if _owner:  # a method
        _name = _one["name"].removeprefix(_owner[0] + "_").removeprefix("rmech_rig_")
        setattr(_handles[_owner[0]], _name, _made)
    elif _maker:
        setattr(_handles[_maker[0]], _one["name"].removeprefix(_maker[0] + "_"), staticmethod(_made))
    else:
        globals()[_one["name"][6:]] = _made

globals()["check_version"](ABI_VERSION, VERSION_MAJOR, VERSION_MINOR)  # noqa: F821
