def races():
    return iter(())
