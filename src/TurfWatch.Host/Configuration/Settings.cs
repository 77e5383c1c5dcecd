using Microsoft.Extensions.DependencyInjection.Extensions;
using Microsoft.Extensions.Options;

namespace TurfWatch.Host.Configuration;

/// <summary>Every options object of the program, bound and checked.</summary>
public sealed class Settings
{
    private readonly Dictionary<Type, object> _byType;

    internal Settings(IEnumerable<object> options, string? file, string folder)
    {
        _byType = options.ToDictionary(o => o.GetType());
        File = file;
        Folder = folder;
    }

    /// <summary>The configuration file in use; null when there is none and the defaults hold.</summary>
    public string? File { get; }

    /// <summary>The folder that relative paths in the options are relative to: the working directory.</summary>
    public string Folder { get; }

    public IEnumerable<object> All => _byType.Values;

    public T Get<T>()
        where T : class => (T)_byType[typeof(T)];

    /// <summary>Registers each options object as itself and as <c>IOptions</c>.</summary>
    public void AddTo(IServiceCollection services)
    {
        services.TryAddSingleton(this);
        foreach (var (type, value) in _byType)
        {
            services.AddSingleton(type, value);
            var wrapper = typeof(OptionsWrapper<>).MakeGenericType(type);
            services.AddSingleton(
                typeof(IOptions<>).MakeGenericType(type),
                Activator.CreateInstance(wrapper, value)!
            );
        }
    }
}
